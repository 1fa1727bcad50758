import type { KitGroup, KitItem } from "../kit/item.ts";
import { kitGroups } from "../kit/item.ts";
import { itemsOf, type Kit } from "../kit/kit.ts";
import { toDoOn, whyUnusable } from "../kit/state.ts";
import type { Practice } from "../read/practice.ts";
import { listed } from "../words.ts";
import { type BagVisit, type Need, needsOf } from "./needs.ts";

/** One line of the bag. */
export interface BagLine {
  readonly group: KitGroup;
  readonly id: string | null;
  readonly what: string;
  readonly count: number;
  /** Of them carried in case one fails. */
  readonly spare: number;
  /** Request codes it is for. */
  readonly for: readonly string[];
  /** Where it is now. */
  readonly where: string | null;
  /** Before leaving: charge it, clean it, have it checked. */
  readonly toDo: readonly string[];
  /** Null: it is there. */
  readonly missing: string | null;
}

export interface BagList {
  readonly day: string;
  readonly visits: readonly {
    readonly requestCode: string;
    readonly place: string;
    readonly carried: boolean;
    readonly minutes: number;
    /** Views of its plan that cannot be made there. */
    readonly refused: readonly string[];
  }[];
  readonly lines: readonly BagLine[];
  /** What is cleaned between one patient and the next. */
  readonly cleanBetween: readonly string[];
  readonly minutes: number;
}

/** One of these failing ends the round: carry another where the register has one (common practice, no source). */
const SPARED: readonly KitGroup[] = ["bodies", "flashes", "cards"];

/**
 * What to pack for a day: the needs of all visits that are not made where the kit stands, things that can be used again
 * counted once, things of one patient each counted for every patient, with spares and with what is wrong.
 * @param day YYYY-MM-DD: what is due for a check on it is said
 * @param dueOf days from elsewhere, such as a calibration record: id of the register to day
 */
export function bagList(
  visits: readonly BagVisit[],
  practice: Practice,
  day: string,
  dueOf: ReadonlyMap<string, string> = new Map(),
): BagList {
  const { kit, places } = practice;
  const isCarried = ({ place }: BagVisit) => places.find(({ key }) => key === place.key)?.packed ?? true;
  const carried = visits.filter(isCarried);
  const needs = carried.flatMap((visit) =>
    needsOf(visit, kit).map((need) => ({ need, code: visit.requestCode })),
  );
  const lines = [...Map.groupBy(needs, ({ need }) => `${need.group} ${need.id ?? need.what}`).values()].map(
    (group) => lineOf(group, kit, day, dueOf),
  );
  const packed = [...lines, ...otherBody(lines, kit, day)];
  const withBatteries = [...packed, ...batteries(lines, kit, day)];
  const again = needs.filter(({ need }) => need.nearPatient && !need.oneEach).map(({ need }) => need.what);
  return {
    day,
    visits: visits.map((visit) => ({
      requestCode: visit.requestCode,
      place: visit.place.name,
      carried: isCarried(visit),
      minutes: visit.plan.minutes,
      refused: visit.plan.refused.map(({ reason }) => reason),
    })),
    lines: withBatteries.toSorted((a, b) => ORDER.indexOf(a.group) - ORDER.indexOf(b.group)),
    cleanBetween:
      carried.length < 2 ? [] : ["camera, lens and flash where hands touch them", ...new Set(again)],
    minutes: visits.reduce((sum, { plan }) => sum + plan.minutes, 0),
  };
}

const ORDER = Object.keys(kitGroups);

function lineOf(
  group: readonly { readonly need: Need; readonly code: string }[],
  kit: Kit,
  day: string,
  dueOf: ReadonlyMap<string, string>,
): BagLine {
  const need = group[0]!.need;
  const wanted = need.oneEach
    ? group.reduce((sum, one) => sum + one.need.count, 0)
    : Math.max(...group.map((one) => one.need.count));
  const item = itemOf(kit, need.id);
  const there = item && whyUnusable(item) === null ? item.count : 0;
  const spare = SPARED.includes(need.group) && there > wanted ? 1 : 0;
  return {
    group: need.group,
    id: need.id,
    what: need.what,
    count: wanted + spare,
    spare,
    for: [...new Set(group.map(({ code }) => code))],
    where: item?.where ?? null,
    toDo: item ? toDoOf(item, day, dueOf) : [],
    missing: missingOf(need, item, wanted, there),
  };
}

const toDoOf = (item: KitItem, day: string, dueOf: ReadonlyMap<string, string>): string[] => {
  const dueOn = dueOf.get(item.id) ?? item.dueOn;
  return toDoOn({ ...item, ...(dueOn !== undefined && { dueOn }) }, day);
};

function missingOf(need: Need, item: KitItem | null, wanted: number, there: number): string | null {
  if (need.id === null || item === null) return "the register has none that can be used";
  const unusable = whyUnusable(item);
  if (unusable !== null) return `it ${unusable}`;
  return there < wanted ? `${wanted} are needed, ${there} ${there === 1 ? "is" : "are"} there` : null;
}

/** Bodies are numbered one by one: the spare is another one that can be used. */
function otherBody(lines: readonly BagLine[], kit: Kit, day: string): BagLine[] {
  const bodies = lines.filter(({ group }) => group === "bodies");
  if (bodies.length !== 1 || bodies[0]!.spare > 0) return [];
  const other = kit.bodies.find((body) => body.id !== bodies[0]!.id && whyUnusable(body) === null);
  if (!other) return [];
  const { id, name: what, where } = other;
  const wanted = bodies[0]!.for;
  return [
    {
      group: "bodies",
      id,
      what,
      count: 1,
      spare: 1,
      for: wanted,
      where,
      toDo: toDoOn(other, day),
      missing: null,
    },
  ];
}

/** A battery for each thing that takes one, and a spare. */
function batteries(lines: readonly BagLine[], kit: Kit, day: string): BagLine[] {
  return kit.batteries.flatMap((battery) => {
    const powers = lines.filter(({ id }) => id !== null && battery.fits.includes(id));
    if (powers.length === 0) return [];
    const wanted = powers.length;
    const usable = whyUnusable(battery) === null;
    const spare = usable && battery.count > wanted ? 1 : 0;
    return [
      {
        group: "batteries" as const,
        id: battery.id,
        what: battery.name,
        count: wanted + spare,
        spare,
        for: [listed(powers.map(({ what }) => what))],
        where: battery.where,
        toDo: toDoOn(battery, day),
        missing: missingOf({ ...NO_NEED, id: battery.id }, battery, wanted, usable ? battery.count : 0),
      },
    ];
  });
}

const NO_NEED: Omit<Need, "id"> = {
  group: "batteries",
  what: "",
  count: 0,
  nearPatient: false,
  oneEach: false,
};

const itemOf = (kit: Kit, id: string | null): KitItem | null =>
  itemsOf(kit).find(({ item }) => item.id === id)?.item ?? null;
