import type { KitGroup, KitItem } from "../kit/item.ts";
import type { Kit } from "../kit/kit.ts";
import { whyUnusable } from "../kit/state.ts";
import type { PlannedView } from "../plan/plan-view.ts";
import type { Plan } from "../plan/plan-views.ts";

/** A visit of the day: whose plan is made where. */
export interface BagVisit {
  readonly requestCode: string;
  readonly place: { readonly key: string; readonly name: string };
  readonly plan: Plan;
}

/** One thing that a visit needs. */
export interface Need {
  readonly group: KitGroup;
  /** Id of the register; null: nothing there will do. */
  readonly id: string | null;
  readonly what: string;
  readonly count: number;
  /** Touches the patient or lies near the wound: cleaned between patients, or one for each. */
  readonly nearPatient: boolean;
  /** Sterile or worn out afterwards: one for each patient. */
  readonly oneEach: boolean;
}

/** Wipes for one patient: camera and lens, scale, chart (common practice, no source). */
const WIPES_EACH = 4;
/** Label frame at the start and at the end (common practice, no source). */
const LABELS_EACH = 2;

/** What one visit needs from the register, without spares. */
export function needsOf({ plan }: BagVisit, kit: Kit): Need[] {
  const { views } = plan;
  if (views.length === 0) return [];
  const needs: Need[] = [
    plain("bodies", plan.body.id, plan.body.name),
    ...unique(views.map(({ lens }) => lens.id)).map((id) => plain("lenses", id, nameOf(kit.lenses, id))),
    ...unique(views.flatMap(({ flash }) => flash?.flashes.map((one) => one.id) ?? [])).map((id) =>
      plain("flashes", id, nameOf(kit.flashes, id)),
    ),
    ...scalesFor(views, kit),
    ...mirrorsFor(views, kit),
    ...backdropsFor(views, kit),
    plain("cards", kit.cards[0]?.id ?? null, "Memory card"),
    counted("labels", kit.labels, "Label sheet", LABELS_EACH),
    counted("wipes", kit.wipes, "Cleaning wipes", WIPES_EACH),
  ];
  if (views.some(({ view }) => view.chart !== "none")) {
    needs.push({ ...oneOf("charts", kit.charts, "Colour chart"), nearPatient: true });
  }
  if (views.some(({ view }) => ["occlusal", "buccal", "lingual"].includes(view.mirror))) {
    needs.push({
      ...oneOf("retractors", kit.retractors, "Cheek retractors"),
      nearPatient: true,
      oneEach: true,
    });
  }
  return needs;
}

function scalesFor(views: readonly PlannedView[], kit: Kit): Need[] {
  const kinds = unique(views.map(({ view }) => view.scale)).filter((kind) => kind !== "none");
  return kinds.map((kind) => {
    const scale = kit.scales.find((one) => one.kind === kind && whyUnusable(one) === null);
    const pieces = scale?.singleUse ? views.filter(({ view }) => view.scale === kind).length : 1;
    return {
      group: "scales",
      id: scale?.id ?? null,
      what: scale?.name ?? SCALE_WORDS[kind],
      count: pieces,
      nearPatient: true,
      oneEach: scale?.singleUse ?? false,
    };
  });
}

const SCALE_WORDS = {
  straight: "Straight scale",
  L: "L-shaped scale",
  label: "Label scales",
  marker: "Marker scales",
};

function mirrorsFor(views: readonly PlannedView[], kit: Kit): Need[] {
  const kinds = unique(views.map(({ view }) => view.mirror)).filter((kind) => kind !== "none");
  return kinds.map((kind) => {
    const mirror = kit.mirrors.find((one) => one.kind === kind && whyUnusable(one) === null);
    const inMouth = kind === "occlusal" || kind === "buccal" || kind === "lingual";
    const what = mirror?.name ?? `${kind[0]!.toUpperCase()}${kind.slice(1)} mirror`;
    return { group: "mirrors", id: mirror?.id ?? null, what, count: 1, nearPatient: true, oneEach: inMouth };
  });
}

/** The drape whose colour the view names; paper and rooms are not carried. */
function backdropsFor(views: readonly PlannedView[], kit: Kit): Need[] {
  const wanted = unique(views.map(({ view }) => view.backdrop)).filter((name) => /cloth|drape/i.test(name));
  return wanted.map((name) => {
    const drape = kit.drapes.find(
      (one) => whyUnusable(one) === null && name.toLowerCase().includes(one.colour.toLowerCase()),
    );
    const what = drape?.name ?? name;
    return { group: "drapes", id: drape?.id ?? null, what, count: 1, nearPatient: true, oneEach: true };
  });
}

const plain = (group: KitGroup, id: string | null, what: string): Need => ({
  group,
  id,
  what,
  count: 1,
  nearPatient: false,
  oneEach: false,
});

function oneOf(group: KitGroup, items: readonly KitItem[], what: string): Need {
  const item = items.find((one) => whyUnusable(one) === null);
  return plain(group, item?.id ?? null, item?.name ?? what);
}

function counted(group: KitGroup, items: readonly KitItem[], what: string, count: number): Need {
  return { ...oneOf(group, items, what), count, oneEach: true };
}

const nameOf = (items: readonly KitItem[], id: string): string =>
  items.find((one) => one.id === id)?.name ?? id;
const unique = <T>(values: readonly T[]): T[] => [...new Set(values)];
