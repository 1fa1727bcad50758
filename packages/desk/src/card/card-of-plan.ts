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
function cautionsOf({ views }: Plan): string[] {
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
  readonly light: string;
  readonly hands: string;
  readonly jewellery: string;
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

function saidBy({ view, light, flash }: PlannedView): Said {
  return {
    position: sentence(view.position),
    height: headed("Camera height", view.cameraHeight),
    angle: headed("Angle", view.cameraAngle),
    light: flash === null ? `${light.name}.` : `${light.name}: ${flash.says}`,
    hands: headed("Hands", view.hands),
    jewellery: headed("Jewellery", view.jewellery),
  };
}

function viewsOfCard(views: readonly PlannedView[]): Pick<ShotCard, "usual" | "views"> {
  const said = views.map(saidBy);
  const { light: usualLight, ...usual } = usualOf(said);
  const notes = [FIRST, ...Object.values(usual), ...(usualLight === undefined ? [] : [usualLight])];
  return {
    usual: notes,
    views: views.map((planned, i) => {
      const { light, ...own } = said[i]!;
      const differs = Object.entries(own).filter(
        ([head, text]) => text !== "" && text !== usual[head as keyof typeof usual],
      );
      return cardView(
        planned,
        differs.map(([, text]) => text),
        light === usualLight ? null : light,
      );
    }),
  };
}

function cardView(planned: PlannedView, notes: readonly string[], light: string | null): CardView {
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
    light,
    scale: scaleOf(view),
    notes: [...notes, ...ownNotes(view)],
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

function ownNotes(view: View): string[] {
  const mirror = view.mirror === "none" ? "" : `By ${view.mirror} mirror: left and right are changed over.`;
  const chart = {
    none: "",
    "in-frame": "Colour chart in the frame.",
    "own-frame": "Colour chart in a frame of its own.",
  };
  return [LINES[view.referenceLine], mirror, chart[view.chart], view.instructions]
    .filter((note) => note !== "")
    .map(sentence);
}

const headed = (head: string, text: string): string =>
  text === "" ? "" : sentence(`${head}: ${text.charAt(0).toLowerCase()}${text.slice(1)}`);

/** Ends in one full stop and begins with a capital letter. */
function sentence(text: string): string {
  const trimmed = text.trim();
  const ended = /[.!?]$/.test(trimmed) ? trimmed : `${trimmed}.`;
  return ended.charAt(0).toUpperCase() + ended.slice(1);
}
