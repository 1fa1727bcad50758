import { SamescaleError } from "@samescale/errors";
import type { SensorSize } from "@samescale/optics";
import { whyUnusable } from "../kit/state.ts";
import type { Practice } from "../read/practice.ts";
import type { View } from "../views/view.ts";
import type { ViewSet } from "../views/view-set.ts";
import { type PlannedView, planView } from "./plan-view.ts";
import type { RefusedView } from "./refusal.ts";

/** What is stored when a plan is saved: the shape named `views/2`. */
export interface Plan {
  readonly format: "views/2";
  readonly viewSet: { readonly key: string; readonly version: number; readonly name: string };
  readonly practiceVersion: number;
  readonly purpose: ViewSet["purpose"];
  readonly place: { readonly key: string; readonly name: string; readonly freeMm: number };
  readonly body: { readonly id: string; readonly name: string; readonly sensor: SensorSize };
  /** In working order. */
  readonly views: readonly PlannedView[];
  /** What cannot be made there with this kit. */
  readonly refused: readonly RefusedView[];
  /** Setting up and all views. */
  readonly minutes: number;
}

/** What a person says beside the view set; what is left out follows from the practice. */
export interface PlanWishes {
  /** Key of a place; the first one otherwise. */
  readonly place?: string;
  /** Free length there, where it differs from what the practice says. */
  readonly freeMm?: number;
  /** For views that are made of either side. */
  readonly side?: "left" | "right";
  /** Ids of the register; the first usable body and the rule's lens otherwise. */
  readonly body?: string;
  readonly lens?: string;
}

/**
 * The views of one set with their numbers for the department's kit.
 * @throws SamescaleError PLAN_WISHES a place, body, lens or side that is not known, missing or cannot be used
 */
export function planViews(set: ViewSet, practice: Practice, wishes: PlanWishes = {}): Plan {
  const place = placeOf(practice, wishes);
  const body = bodyOf(practice, wishes.body);
  const lenses = lensesOf(practice, wishes.lens);
  const answers = set.views
    .map((view) => sided(view, set, wishes.side))
    .map((view) => planView(view, { practice, place, body, lenses }));
  const views = answers.filter((answer) => "lens" in answer);
  return {
    format: "views/2",
    viewSet: { key: set.key, version: set.version, name: set.name },
    practiceVersion: practice.version,
    purpose: set.purpose,
    place,
    body: { id: body.id, name: body.name, sensor: body.sensor },
    views,
    refused: answers.filter((answer) => "reason" in answer),
    minutes: practice.settingUpMinutes + views.reduce((sum, { minutes }) => sum + minutes, 0),
  };
}

function placeOf({ places }: Practice, { place: wanted, freeMm }: PlanWishes): Plan["place"] {
  const place = wanted === undefined ? places[0]! : places.find(({ key }) => key === wanted);
  if (!place)
    throw unknown(
      "place",
      wanted!,
      places.map(({ key }) => key),
    );
  if (freeMm !== undefined && !(freeMm >= 100 && freeMm <= 1e6)) {
    throw wrong(
      `Expected 0.1 to 1000 m of free length, received ${freeMm} mm`,
      "Measure from the subject to the wall behind you.",
    );
  }
  return { key: place.key, name: place.name, freeMm: freeMm ?? place.freeMm };
}

function bodyOf({ kit }: Practice, wanted: string | undefined) {
  const body =
    wanted === undefined
      ? kit.bodies.find((one) => whyUnusable(one) === null)
      : kit.bodies.find(({ id }) => id === wanted);
  if (!body) {
    if (wanted !== undefined)
      throw unknown(
        "camera body",
        wanted,
        kit.bodies.map(({ id }) => id),
      );
    const why = kit.bodies.map((one) => `${one.name} ${whyUnusable(one)}`).join("; ");
    throw wrong(
      `No camera body of the register can be used${why === "" ? "" : `: ${why}`}`,
      "Enter one in kit.yaml, or put its state right.",
    );
  }
  const unusable = whyUnusable(body);
  if (unusable) throw wrong(`The ${body.name} ${unusable}`, "Choose another body, or put its state right.");
  return body;
}

function lensesOf({ kit }: Practice, wanted: string | undefined) {
  if (wanted === undefined) return kit.lenses;
  const lens = kit.lenses.find(({ id }) => id === wanted);
  if (!lens)
    throw unknown(
      "lens",
      wanted,
      kit.lenses.map(({ id }) => id),
    );
  return [lens];
}

function sided(view: View, set: ViewSet, side: PlanWishes["side"]): View {
  if (view.side !== "either") return view;
  if (side === undefined) {
    throw wrong(
      `${set.name} is made of the left or the right side, and the request does not say which`,
      "Name the side: left or right.",
    );
  }
  return { ...view, side };
}

const wrong = (message: string, help: string) => new SamescaleError("PLAN_WISHES", message, help);
const unknown = (what: string, name: string, known: readonly string[]) =>
  wrong(
    `There is no ${what} ${name}; there are ${known.join(", ") || "none"}`,
    "Name one of these, or enter it in the practice.",
  );
