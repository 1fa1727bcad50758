import { type SeriesVisit, seriesReportPdf } from "@samescale/exchange";
import { applyHomography, invertHomography } from "@samescale/geometry";
import type {
  Aligned,
  ColourAnswer,
  MatchAnswer,
  Matrix3,
  OutlineRegion,
  OwnRepeats,
  PicturePool,
} from "@samescale/picture";
import { cautions } from "@samescale/practice";
import type { ComparedMember } from "../compare/compare-series.ts";
import { fromWindowPx, type SeriesWindow, windowInFollowup, windowRound } from "../compare/window.ts";
import type { Desk } from "../desk.ts";

export interface SeriesReportWanted {
  readonly department: string;
  readonly title: string;
  readonly viewName: string;
  readonly requestCode: string;
  readonly madeAt: Date;
  /** Turned back for print; the original stays as it is. */
  readonly mirrored: boolean;
  readonly members: readonly ComparedMember[];
  /** Visits without a usable picture: they keep their place. */
  readonly gaps?: readonly { readonly date: string; readonly why: string }[];
  /** The colour chart of the same visit, where one was photographed; by the day of the visit. */
  readonly charts?: ReadonlyMap<string, { readonly fileName: string; readonly answer: ColourAnswer }>;
  /** What the budgets took for the edge, where the department has its own figures. */
  readonly ownRepeats?: OwnRepeats | null;
}

/** Enough for 300 dots per inch at the report's print scale of 1:1.5. */
const PRINT_PX_PER_MM = 8;

/**
 * The report of a series as PDF: one window of the subject in every picture, numbers with their intervals. Null when
 * the baseline has no scale or nothing was outlined in it: then there is no window to show.
 */
export async function reportSeries(
  desk: Desk,
  pool: PicturePool,
  wanted: SeriesReportWanted,
  signal?: AbortSignal,
): Promise<Buffer | null> {
  const [baseline] = wanted.members;
  if (!baseline?.measured || !baseline.scale.found) return null;
  const window = windowRound(baseline.measured.regions, baseline.scale, wanted.mirrored);
  if (window === null) return null;
  const visits: SeriesVisit[] = [];
  for (const member of wanted.members) {
    const chart = wanted.charts?.get(member.date) ?? null;
    visits.push(await visitOf(desk, pool, window, member, member === baseline, chart, signal));
  }
  const gaps = wanted.gaps ?? [];
  visits.push(...gaps.map(({ date, why }) => emptyVisit(date, why)));
  visits.sort((a, b) => a.dateIso.localeCompare(b.dateIso));
  return await seriesReportPdf({
    ...wanted,
    windowMm: { width: window.widthMm, height: window.heightMm },
    visits,
    method: methodOf(wanted),
    background: BACKGROUND,
    cautions: [cautions.measuring, cautions.healing, cautions["eyes-covered"]],
    originals: wanted.members.map((m) => ({ file: m.frame.name, sha256: m.frame.sha256 })),
  });
}

async function visitOf(
  desk: Desk,
  pool: PicturePool,
  window: SeriesWindow,
  member: ComparedMember,
  isBaseline: boolean,
  chart: ChartOfVisit | null,
  signal?: AbortSignal,
): Promise<SeriesVisit> {
  const { alignment, scale, offset } = member;
  const notes: string[] = [];
  let mmToPicture: Matrix3 | null = null;
  if (isBaseline) mmToPicture = window.mmToBaseline;
  else if (alignment?.aligned) {
    mmToPicture = windowInFollowup(window, alignment.homography);
    notes.push(...alignment.warnings);
  } else if (alignment) notes.push(`Not aligned: ${alignment.reason}`);

  // Not aligned: shown by its own scale and outline, so that it is at least true to size.
  if (mmToPicture === null && scale.found && member.measured) {
    mmToPicture = windowRound(member.measured.regions, scale, false)?.mmToBaseline ?? null;
  }
  const counted = member.corrected ?? member.measured;
  const region = counted?.measurement.regions[0] ?? null;
  if (offset?.stands && scale.found) {
    const { heightMm, factor } = offset;
    notes.push(
      `Scale ${Math.abs(heightMm.value).toFixed(0)} ± ${heightMm.u95.toFixed(0)} mm ${heightMm.value > 0 ? "above" : "below"} the skin; ` +
        `sizes corrected by ${(100 * (factor.value - 1)).toFixed(1)} %.`,
    );
  }
  if (!scale.found) notes.push(`Scale not read: ${scale.reason}`);
  if (alignment?.aligned) notes.push(framedAs(alignment));
  notes.push(...colourNotes(member.colour, chart));
  return {
    dateIso: member.date,
    heading: isBaseline ? "baseline" : "follow-up",
    jpeg: await pictureOf(desk, pool, window, mmToPicture, member, signal),
    outlinesMm: mmToPicture === null ? [] : outlinesInWindow(member.measured?.regions ?? [], mmToPicture),
    areaMm2: region?.areaMm2 ?? null,
    lengthMm: region?.lengthMm ?? null,
    widthMm: region?.widthMm ?? null,
    perimeterMm: region?.perimeterMm ?? null,
    ratioRead: scale.found ? scale.reproductionRatio : null,
    notes,
  };
}

type ChartOfVisit = NonNullable<ReturnType<NonNullable<SeriesReportWanted["charts"]>["get"]>>;

/** How the camera was held against the baseline's, for whoever makes the next picture. */
function framedAs({ framing }: Aligned): string {
  const words = framing?.words ?? [];
  return words.length > 0 ? `Framed ${words.join(", ")}.` : "Framed as the baseline.";
}

function colourNotes(colour: MatchAnswer | null, chart: ChartOfVisit | null): string[] {
  const notes: string[] = [];
  if (colour?.found) {
    const { before, crossValidated } = colour.deltaE00;
    notes.push(
      `Colours matched to the baseline: CIEDE2000 ${before.mean.toFixed(1)}, then ${crossValidated.mean.toFixed(1)}.`,
    );
  } else if (colour) notes.push(`Colours as the camera has them: ${colour.reason}.`);
  if (chart?.answer.found) {
    const { before, crossValidated } = chart.answer.deltaE00;
    notes.push(
      `Chart in ${chart.fileName}: CIEDE2000 ${before.mean.toFixed(1)}, corrected ${crossValidated.mean.toFixed(1)}.`,
    );
  } else if (chart) notes.push(`No colour chart in ${chart.fileName}.`);
  return notes;
}

const emptyVisit = (dateIso: string, why: string): SeriesVisit => ({
  dateIso,
  heading: "gap",
  jpeg: null,
  outlinesMm: [],
  areaMm2: null,
  lengthMm: null,
  widthMm: null,
  perimeterMm: null,
  ratioRead: null,
  notes: [why],
});

async function pictureOf(
  desk: Desk,
  pool: PicturePool,
  window: SeriesWindow,
  mmToPicture: Matrix3 | null,
  member: ComparedMember,
  signal?: AbortSignal,
): Promise<Uint8Array> {
  const file = await desk.library.originals.localFile(member.frame.sha256);
  const widthPx = Math.round(window.widthMm * PRINT_PX_PER_MM);
  const heightPx = Math.round(window.heightMm * PRINT_PX_PER_MM);
  const windowToPicture =
    mmToPicture === null
      ? wholePicture(member, widthPx, heightPx)
      : fromWindowPx(mmToPicture, PRINT_PX_PER_MM);
  const matched = member.colour?.found ? { correction: member.colour.correction } : {};
  const { jpeg } = await pool.run("window", { file, windowToPicture, widthPx, heightPx, ...matched }, signal);
  return jpeg;
}

/** Fits the whole picture into the window, when nothing tells where to look. */
function wholePicture({ scale }: ComparedMember, widthPx: number, heightPx: number): Matrix3 {
  const reduce = Math.max(scale.widthPx / widthPx, scale.heightPx / heightPx);
  return [
    [reduce, 0, (scale.widthPx - reduce * widthPx) / 2],
    [0, reduce, (scale.heightPx - reduce * heightPx) / 2],
    [0, 0, 1],
  ];
}

function outlinesInWindow(
  regions: readonly OutlineRegion[],
  mmToPicture: Matrix3,
): SeriesVisit["outlinesMm"] {
  const pictureToMm = invertHomography(mmToPicture);
  return regions
    .flatMap((region) => [region.outline, ...region.holes])
    .map((ring) =>
      ring.map(([x, y]) => {
        const p = applyHomography(pictureToMm, { x, y });
        return [p.x, p.y] as const;
      }),
    );
}

/** What others found about such measurements; never what it means for a patient. */
const BACKGROUND = [
  "Length × width is no area: 27 % above that of an ellipse (geometry: 4 / pi); 41 % above planimetry on average in ten wounds (Rogers and others, J Diabetes Sci Technol 2010;4:799), 29 to 43 % above tracing elsewhere.",
  "Photographs against tracing: 3.9 % average difference of areas in 200 large irregular wounds; the same person again agreed to 98 %, another to 94 % (WOUNDS 2011;23:267).",
  "Measured flat on a bent surface: about 10 % more error (phantom pictures, PMC6350543).",
];

const COLOUR_METHOD =
  "Follow-ups are shown in the baseline's colours as far as unchanged skin tells them (white balance and exposure): comparable, not correct. CIEDE2000: mean difference of colour before, and after on places (chart: patches) that were left out when the correction was fitted. Skin is not a chart patch.";

function edgeSentence({ ownRepeats, members }: SeriesReportWanted): string {
  const froms = new Set(
    members.flatMap((m) => (m.corrected ?? m.measured)?.measurement.regions.map((r) => r.edge.from) ?? []),
  );
  const told: string[] = [];
  if (froms.has("repeats") && ownRepeats) {
    const { outlines, things, persons, edgeUMm } = ownRepeats;
    told.push(
      `by this department's own repeats (${outlines} outlines of ${things} pictures by ${persons} persons, ${edgeUMm.toFixed(2)} mm)`,
    );
  }
  if (froms.has("picture")) told.push("by how soft the edge is in the picture, where that is more");
  if (froms.has("assumed")) told.push("assumed to be 1 px, as nobody measured it");
  return `Position of the edge (one standard uncertainty): ${told.join("; ")}.`;
}

function methodOf(wanted: SeriesReportWanted): string[] {
  const { members, mirrored } = wanted;
  const byPlane = members.filter((m) => m.measured?.measurement.method === "plane").length;
  const measured = members.filter((m) => m.measured !== null).length;
  return [
    "Every picture shows the same window of the subject: follow-ups are laid over the baseline by the skin's own landmarks, what was outlined left out.",
    `Areas in the plane of the scale, not along curved skin: ${byPlane} of ${measured} by a plane that the scale's two legs determine, the others by the local scale, widened by what an unseen lean can do.`,
    "± is the half-width of the 95 % interval (k = 2): edge of the outline, fit and tolerance of the scale, plane, resolution.",
    edgeSentence(wanted),
    "Change of area: both intervals taken as independent, which overstates its interval. Movement of the edge: area lost over the mean of both perimeters (Gilman 1990).",
    ...(members.some((m) => m.colour?.found) ? [COLOUR_METHOD] : []),
    ...(mirrored ? ["Made through a mirror; left and right are turned back here, not in the original."] : []),
  ];
}
