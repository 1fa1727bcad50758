import type { CardView, ShotCard } from "@samescale/exchange";
import { formatRatio } from "@samescale/optics";
import {
  cautions,
  type Plan,
  type PlannedView,
  type Practice,
  sayDistance,
  type View,
  viewFigure,
} from "@samescale/practice";
import { labelCodeText } from "../intake/label-code.ts";

/** Whom and what the card is for. */
export interface CardSubject {
  readonly requestCode: string;
  /** YYYY-MM-DD. */
  readonly dueDate: string | null;
  /** Null for what is no patient's. */
  readonly patient: { readonly number: string; readonly name: string } | null;
}

/** The plan in the words and figures of a shot card. A name stands on it only where the practice allows it. */
export function cardOfPlan(
  { requestCode, dueDate, patient }: CardSubject,
  plan: Plan,
  practice: Pick<Practice, "department" | "nameOnCard">,
  madeAt: Date,
): ShotCard {
  return {
    department: practice.department,
    requestCode,
    codeText: labelCodeText(requestCode, patient?.number ?? null),
    patientNumber: patient?.number ?? null,
    patientName: practice.nameOnCard ? (patient?.name ?? null) : null,
    madeAt,
    title: plan.viewSet.name,
    setting: [
      plan.place.name,
      plan.body.name,
      `about ${Math.ceil(plan.minutes)} minutes`,
      ...(dueDate === null ? [] : [`for ${dueDate}`]),
    ],
    cautions: cautionsOf(plan),
    ...viewsOfCard(plan.views),
    refused: plan.refused.map(({ view, reason }) => ({ name: view.name, reason })),
  };
}

/** Each once, in the order of the views; then what concerns the person in front of the camera. */
export function cautionsOf({ views }: Plan): string[] {
  const says = new Set(views.flatMap(({ cautions }) => cautions));
  // Dignity names the chaperone already.
  const isAsked = views.some(({ view }) => view.chaperone === "offer") && !says.has(cautions.dignity);
  const chaperone = isAsked ? ["Offer a chaperone; write down the name, or that none was wanted."] : [];
  const identifiable = views.flatMap(({ view }, i) => (view.identifiable ? [i + 1] : []));
  const recognised =
    identifiable.length === 0
      ? []
      : identifiable.length === views.length
        ? ["A person can be recognised in these pictures."]
        : [
            `A person can be recognised in ${identifiable.length === 1 ? "view" : "views"} ${identifiable.join(", ")}.`,
          ];
  return [...says, ...chaperone, ...recognised];
}

const FIRST = "Set the ratio, then move until it is sharp.";

/** What a view says under each head; what is empty is not said. */
interface Said {
  readonly position: string;
  readonly height: string;
  readonly angle: string;
  readonly line: string;
  readonly light: string;
  readonly power: string;
  readonly hands: string;
  readonly jewellery: string;
  readonly chart: string;
  readonly instructions: string;
}

/**
 * What more than half of the views say alike is said once, above them; a view then says where it differs. Only heads
 * under which every view says something can be shared so.
 */
function usualOf(said: readonly Said[]): Partial<Said> {
  const heads = Object.keys(said[0] ?? {}) as (keyof Said)[];
  const usual = heads.flatMap((head) => {
    if (said.some((one) => one[head] === "")) return [];
    const most = said.find(
      (one) => 2 * said.filter((other) => other[head] === one[head]).length > said.length,
    );
    return most ? [[head, most[head]]] : [];
  });
  return said.length < 2 ? {} : Object.fromEntries(usual);
}

function saidBy({ view, light, flash, noFlash }: PlannedView): Said {
  return {
    position: sentence(view.position),
    height: headed("Camera height", view.cameraHeight),
    angle: headed("Angle", view.cameraAngle),
    line: LINES[view.referenceLine],
    light: headed(light.name, light.placement),
    power: flash?.says ?? noFlash ?? "",
    hands: headed("Hands", view.hands),
    jewellery: headed("Jewellery", view.jewellery),
    chart: CHARTS[view.chart],
    instructions: view.instructions === "" ? "" : sentence(view.instructions),
  };
}

function viewsOfCard(views: readonly PlannedView[]): Pick<ShotCard, "usual" | "views"> {
  const said = views.map(saidBy);
  const usual = usualOf(said);
  return {
    usual: [FIRST, ...Object.values(usual)],
    views: views.map((planned, i) => {
      const own = Object.entries(said[i]!).filter(
        ([head, text]) => text !== "" && text !== usual[head as keyof Said],
      );
      return cardView(
        planned,
        own.map(([, text]) => text),
      );
    }),
  };
}

function cardView(planned: PlannedView, notes: readonly string[]): CardView {
  const { view, workingDistanceMm, objectDistanceMm } = planned;
  const isMeasured = workingDistanceMm !== null;
  return {
    name: view.name,
    shows: [
      view.part,
      view.aspect,
      ...sideOf(view),
      ...(view.orientation === "portrait" ? ["upright"] : []),
    ].join(", "),
    figure: viewFigure(view, planned.fieldMm),
    ratio: formatRatio(planned.magnification),
    distance: `${isMeasured ? "" : "about "}${sayDistance(workingDistanceMm ?? objectDistanceMm)}`,
    aperture: `f/${planned.fNumber}`,
    lens: `${isMeasured ? "before the" : "from the"} ${planned.lens.name}`,
    scale: scaleOf(view),
    notes: [...ownNotes(planned), ...notes],
  };
}

const sideOf = ({ side }: View): string[] =>
  side === "left" || side === "right" ? [side.toUpperCase()] : [];

const SCALES = {
  straight: "Straight scale",
  L: "L-scale",
  label: "Label scale, 2 cm",
  marker: "Marker scale",
} as const;

function scaleOf({ scale, scaleWhere, scalePlane }: View): string | null {
  return scale === "none" ? null : sentence(`${SCALES[scale]}: ${scaleWhere}, ${scalePlane}`);
}

const LINES: Readonly<Record<View["referenceLine"], string>> = {
  none: "",
  "frankfort-horizontal": "Frankfort horizontal level.",
  "natural-head-position": "Natural head position, not the Frankfort horizontal.",
  "interpupillary-level": "Pupils level.",
  "occlusal-plane-level": "Occlusal plane level.",
};

const CHARTS: Readonly<Record<View["chart"], string>> = {
  none: "",
  "in-frame": "Colour chart in the frame.",
  "own-frame": "Colour chart in a frame of its own.",
};

/** What belongs to one view alone. */
function ownNotes({ view, depth, carried }: PlannedView): string[] {
  const onFullFrame = carried === null ? "" : `${formatRatio(view.magnification)} on 36 × 24 mm.`;
  const mirror = view.mirror === "none" ? "" : `By ${view.mirror} mirror: left and right are changed over.`;
  const shallow = depth && !depth.reached ? depth.says : "";
  return [onFullFrame, mirror, shallow].filter((note) => note !== "");
}

const headed = (head: string, text: string): string =>
  text === "" ? "" : sentence(`${head}: ${text.charAt(0).toLowerCase()}${text.slice(1)}`);

/** Ends in one full stop and begins with a capital letter. */
function sentence(text: string): string {
  const trimmed = text.trim();
  const ended = /[.!?]$/.test(trimmed) ? trimmed : `${trimmed}.`;
  return ended.charAt(0).toUpperCase() + ended.slice(1);
}
