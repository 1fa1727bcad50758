import { createHash } from "node:crypto";
import { imagePoint, localScalePxPerMm, type Matrix3 } from "@samescale/geometry";
import type { AlignAnswer, Bending, Recipe, ScaleAnswer } from "../../answers.ts";
import { sharp } from "../../decode/sharp.ts";
import { infoOfFile } from "../../info/info-of-file.ts";
import type { ComparisonInput } from "../../pool/tasks.ts";
import { placeFolder } from "../place-folder.ts";
import { BLINK_MS, blink } from "./blink.ts";
import { difference, toneLegend } from "./difference.ts";
import {
  bent,
  centred,
  coverOf,
  type Frame,
  frameOf,
  frameToPicture,
  type Laid,
  laidPicture,
  wholeInFrame,
} from "./laid-picture.ts";
import { capPxFor, INK, type Panel, sheetOf } from "./panel.ts";
import { splitLine, splitOf } from "./split-line.ts";

const RECIPE = { step: "comparison-pictures", version: 1 } as const;
const NOT_MOVED: Matrix3 = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** Long side of a picture on a sheet by itself, and on the strip of all visits. */
const SIDE_PX = 1200;
const STRIP_SIDE_PX = 640;
const STRIP_COLUMNS = 4;

/** One photograph of the comparison, as it will lie in the frame. */
interface Visit {
  readonly file: string;
  readonly sha256: string;
  readonly title: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly toBaseline: Matrix3;
  /** Where it is bent beside that map. */
  readonly bending: Bending | null;
  /** What is said below it. */
  readonly notes: readonly string[];
  /** Why it is not laid over the baseline; null when it is. */
  readonly notAligned: string | null;
}

interface Made {
  readonly name: string;
  readonly content: Buffer;
  readonly shows: string;
  readonly visits: readonly Visit[];
}

/**
 * Draws the pictures that a photographer and a clinician look at, every one in the baseline's frame at one scale: side by
 * side, blink, split line, difference for each follow-up, and the strip of all visits. They appear together in a new
 * folder, complete or not at all, with the recipe that made them.
 *
 * @returns names of the files in the folder
 * @throws SamescaleError PICTURES_EXIST, and those of reading and decoding
 */
export async function comparisonPictures(input: ComparisonInput): Promise<readonly string[]> {
  const baseline = await baselineOf(input);
  const visits = await Promise.all(input.followups.map((answer, i) => visitOf(answer, i, baseline, input)));
  const made: Made[] = [];
  for (const [i, visit] of visits.entries()) {
    made.push(...(await pairPictures(baseline, visit, `follow-up-${i + 1}`, input.baselineScale)));
  }
  made.push(await strip([baseline, ...visits], input.baselineScale));
  const recipe = recipeOf(made, [baseline, ...visits]);
  const files = [
    ...made,
    { name: "recipe.json", content: Buffer.from(`${JSON.stringify(recipe, null, 2)}\n`) },
  ];
  await placeFolder(input.folder, files);
  return files.map(({ name }) => name);
}

async function baselineOf({ baseline }: ComparisonInput): Promise<Visit> {
  const { widthPx, heightPx, sha256, takenAt } = await infoOfFile({ file: baseline });
  const title = `Baseline${dayOf(takenAt)}`;
  return {
    file: baseline,
    sha256,
    title,
    widthPx,
    heightPx,
    toBaseline: NOT_MOVED,
    bending: null,
    notes: [],
    notAligned: null,
  };
}

async function visitOf(
  answer: AlignAnswer,
  i: number,
  baseline: Visit,
  input: ComparisonInput,
): Promise<Visit> {
  const { widthPx, heightPx, sha256, takenAt } = await infoOfFile({ file: answer.followup });
  const known = {
    file: answer.followup,
    sha256,
    title: `Follow-up ${i + 1}${dayOf(takenAt)}`,
    widthPx,
    heightPx,
  };
  if (answer.aligned) {
    const how = answer.method === "points" ? "by points that a person placed" : "by what both show";
    const notes = [`Laid over the baseline ${how}.`, ...answer.warnings.map((w) => `Caution: ${w}.`)];
    const bending = answer.bending?.used ? answer.bending : null;
    return { ...known, toBaseline: answer.homography, bending, notes, notAligned: null };
  }
  const byScales = sizeByScales(input.baselineScale, input.followupScales?.[i]);
  const shown =
    byScales === null
      ? "Shown as it was taken, not to the baseline's scale."
      : "Shown to the baseline's scale by the two scales, not in its place.";
  return {
    ...known,
    bending: null,
    toBaseline: byScales === null ? wholeInFrame(known, baseline) : centred(known, baseline, byScales),
    notes: [`Not aligned: ${answer.reason}.`, shown],
    notAligned: answer.reason,
  };
}

/** Baseline px per follow-up px, when both scales were read. */
function sizeByScales(baseline: ScaleAnswer | undefined, followup: ScaleAnswer | undefined): number | null {
  const [a, b] = [baseline, followup].map((s) => (s?.found ? s.scales[0]?.pxPerMm.value : undefined));
  return a && b ? a / b : null;
}

const dayOf = (takenAt: { readonly iso: string | null } | null) =>
  takenAt?.iso ? `, ${takenAt.iso.slice(0, 10)}` : "";

async function pairPictures(
  baseline: Visit,
  visit: Visit,
  name: string,
  scale: ScaleAnswer | undefined,
): Promise<Made[]> {
  const frame = frameOf(baseline, SIDE_PX);
  const [before, after] = await Promise.all([panelOf(baseline, frame, scale), panelOf(visit, frame, scale)]);
  const visits = [baseline, visit];
  const beside: Made = {
    name: `${name}-side-by-side.jpg`,
    content: await asJpeg(await sheetOf([before, after], 2)),
    shows: "baseline and follow-up side by side at one scale",
    visits,
  };
  if (visit.notAligned !== null) return [beside];
  const cover = coverOf(visit, frame, frameToPicture(frame, visit.toBaseline));
  const changed = await difference(before.picture, after.picture, cover);
  const [pxPerMm, notes] = [before.pxPerMm ?? null, visit.notes];
  return [
    beside,
    {
      name: `${name}-blink.webp`,
      content: await blink(await sheetOf([before], 1), await sheetOf([after], 1)),
      shows: `baseline and follow-up in turn, ${BLINK_MS} ms each`,
      visits,
    },
    {
      name: `${name}-split-line.jpg`,
      content: await asJpeg(
        await sheetOf(
          [
            {
              picture: splitOf(before.picture, after.picture),
              title: `Left of the line: ${baseline.title}. Right of it: ${visit.title}`,
              notes,
              pxPerMm,
              overlay: splitLine(frame),
            },
          ],
          1,
        ),
      ),
      shows: "baseline left of the line, follow-up right of it",
      visits,
    },
    {
      name: `${name}-difference.png`,
      content: await asPng(
        await sheetOf(
          [
            {
              picture: changed,
              title: `Difference in lightness: ${visit.title} against ${baseline.title}`,
              notes: [
                "Broad differences of light were taken out. Gloss, hairs and a scale that was laid anew show as well. White: not in both pictures.",
                ...notes,
              ],
              pxPerMm,
              legend: toneLegend(frame.widthPx, capPxFor(frame.widthPx), INK),
            },
          ],
          1,
        ),
      ),
      shows: "follow-up minus baseline in CIE lightness, broad differences taken out",
      visits,
    },
  ];
}

async function strip(visits: readonly Visit[], scale: ScaleAnswer | undefined): Promise<Made> {
  const frame = frameOf(visits[0]!, STRIP_SIDE_PX);
  const panels = await Promise.all(visits.map((visit) => panelOf(visit, frame, scale)));
  return {
    name: "all-visits.jpg",
    content: await asJpeg(await sheetOf(panels, Math.min(STRIP_COLUMNS, visits.length))),
    shows: "all visits in order at one scale",
    visits,
  };
}

async function panelOf(visit: Visit, frame: Frame, scale: ScaleAnswer | undefined): Promise<Panel> {
  const toScale = visit.notAligned === null ? pxPerMmIn(frame, scale) : null;
  const laid = await laidPicture(visit.file, visit.toBaseline, frame);
  const field = visit.bending?.field;
  return {
    picture: field ? bent(laid, field, frame) : laid,
    title: visit.title,
    notes: visit.notes,
    pxPerMm: toScale,
    ...(visit.notAligned === null ? {} : { stamp: `Not aligned with the baseline. ${visit.notes.at(-1)}` }),
  };
}

/** The frame's px per mm across its middle where the baseline's reading knows the plane, else at its scale. */
function pxPerMmIn(frame: Frame, scale: ScaleAnswer | undefined): number | null {
  if (!scale?.found) return null;
  const k = frame.fromBaseline[0][0];
  if (scale.plane) {
    const middle = imagePoint(scale.widthPx / 2, scale.heightPx / 2);
    return k * localScalePxPerMm(scale.plane.homographyPxToMm, middle).atAngle(0);
  }
  return scale.scales[0] ? k * scale.scales[0].pxPerMm.value : null;
}

const asJpeg = ({ rgb, widthPx, heightPx }: Laid) =>
  sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .withIccProfile("srgb")
    .jpeg({ quality: 90, chromaSubsampling: "4:4:4" })
    .toBuffer();

const asPng = ({ rgb, widthPx, heightPx }: Laid) =>
  sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .withIccProfile("srgb")
    .png()
    .toBuffer();

/** What made each picture, from what: enough to make it again and to tell that it is the same. */
function recipeOf(made: readonly Made[], visits: readonly Visit[]) {
  const recipe: Recipe = {
    ...RECIPE,
    parameters: { sidePx: SIDE_PX, stripSidePx: STRIP_SIDE_PX, blinkMs: BLINK_MS },
  };
  return {
    recipe,
    inputs: visits.map(({ title, sha256, toBaseline, bending, notAligned }) => ({
      shown: title,
      sha256,
      homographyToBaseline: notAligned === null ? toBaseline : null,
      ...(bending && { bending }),
      ...(notAligned === null ? {} : { notAligned }),
    })),
    pictures: made.map(({ name, content, shows, visits: from }) => ({
      file: name,
      sha256: createHash("sha256").update(content).digest("hex"),
      shows,
      from: from.map(({ sha256 }) => sha256),
    })),
  };
}
