import {
  calibrationsOf,
  changePractice,
  doneOrThrow,
  dueOfScales,
  PHOTOGRAPHERS,
  type PracticeChanged,
  practiceFile,
  ROLES,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { formatRatio, parseRatio } from "@samescale/optics";
import {
  addItem,
  changeItem,
  type FrontOffset,
  freeItemId,
  frontOffset,
  itemsOf,
  type KitGroup,
  kitGroups,
  removeItem,
  toDoOn,
  whyUnusable,
} from "@samescale/practice";
import { z } from "zod";
import type { Area, AreaDeps } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { day, line } from "./fields.ts";

export interface KitThing {
  readonly group: KitGroup;
  readonly id: string;
  readonly name: string;
  readonly where: string;
  readonly count: number;
  /** Null: it is not said, as of a thing that is not charged or cleaned. */
  readonly charged: boolean | null;
  readonly clean: boolean | null;
  readonly dueOn: string | null;
  readonly broken: string | null;
  readonly away: string | null;
  /** Why it cannot be used at all, in words. */
  readonly unusable: string | null;
  /** What has to be done to it, in words. */
  readonly toDo: readonly string[];
  /** Its own numbers, in words: 36 × 24 mm; 100 mm, 1:1 to infinity. */
  readonly facts: string;
  /** Of a scale: its name in the calibration record. */
  readonly calibrationId: string | null;
}

export interface MeasuredLens {
  readonly id: string;
  readonly name: string;
  readonly focalMm: number;
  readonly measured: readonly { readonly ratio: string; readonly frontToSubjectMm: number }[];
}

export interface ShownKit {
  readonly version: number;
  /** The day by which things are due, YYYY-MM-DD. */
  readonly today: string;
  readonly things: readonly KitThing[];
  readonly lenses: readonly MeasuredLens[];
  /** Where things may be, beside whatever is typed. */
  readonly places: readonly string[];
}

const KIT = "kit.yaml";
const GROUPS = Object.keys(kitGroups) as [KitGroup, ...KitGroup[]];
const id = line(40);
const text = line(200).nullable().exactOptional();
const flag = z.boolean().nullable().exactOptional();

/** What changes of a thing; `null`: nothing is known against it any more. */
const change = z.object({
  name: line(200).exactOptional(),
  where: line(200).exactOptional(),
  count: z.number().exactOptional(),
  ...{ charged: flag, clean: flag, broken: text, away: text },
  dueOn: day.nullable().exactOptional(),
});
const measured = z
  .array(z.object({ ratio: line(20), frontToSubjectMm: z.number().positive().max(100_000) }))
  .max(20);
/** A thing's fields as the register holds them; which there are, the register's rules say. */
const fields = z.record(
  line(40),
  z.union([
    line(200),
    z.number(),
    z.boolean(),
    z.null(),
    z.array(line(60)).max(30),
    z.record(line(40), z.number()),
  ]),
);

/** What the department photographs with: seen by all, changed by those who photograph. */
export const kitRoutes: Area = (app, deps) => {
  const { desk, practice, practiceFolder } = deps;
  const config = { may: PHOTOGRAPHERS };
  app.get("/practice/kit", { config: { may: ROLES } }, async (): Promise<ShownKit> => {
    const { kit, places, ...whole } = await practice();
    const due = dueOfScales({ kit, places, ...whole }, await calibrationsOf(await practiceFolder()));
    const today = desk.library.clock().toISOString().slice(0, 10);
    return {
      ...{ version: kit.version, today, places: places.map(({ key }) => key) },
      things: itemsOf(kit).map(({ group, item }) => {
        const dueOn = due.get(item.id) ?? item.dueOn ?? null;
        return {
          ...{ group, id: item.id, name: item.name, where: item.where, count: item.count, dueOn },
          ...{ charged: item.charged ?? null, clean: item.clean ?? null },
          ...{ broken: item.broken ?? null, away: item.away ?? null },
          unusable: whyUnusable(item),
          toDo: toDoOn({ ...item, ...(dueOn && { dueOn }) }, today),
          facts: factsOf(item as unknown as Facts),
          calibrationId: (item as unknown as Facts).calibrationId ?? null,
        };
      }),
      lenses: kit.lenses.map((lens) => ({
        ...{ id: lens.id, name: lens.name, focalMm: lens.focalMm },
        measured: lens.measured.map(({ ratio, frontToSubjectMm }) => ({
          ratio: formatRatio(ratio),
          frontToSubjectMm,
        })),
      })),
    };
  });
  app.patch(
    "/practice/kit/:id",
    { config, schema: { params: z.object({ id }), body: change } },
    async (request): Promise<PracticeChanged> =>
      await changed(deps, who(request), (kit) => changeItem(kit, request.params.id, request.body)),
  );
  const adding = z.object({ group: z.enum(GROUPS), name: line(200), fields });
  app.post(
    "/practice/kit",
    { config, schema: { body: adding } },
    async (request): Promise<PracticeChanged> => {
      const { group, name, fields } = request.body;
      return await changed(deps, who(request), (kit) =>
        addItem(kit, group, { id: freeItemId(kit, name), name, ...fields }),
      );
    },
  );
  app.delete(
    "/practice/kit/:id",
    { config, schema: { params: z.object({ id }) } },
    async (request): Promise<PracticeChanged> =>
      await changed(deps, who(request), (kit) => removeItem(kit, request.params.id)),
  );
  const front = z.object({ focalMm: z.number().positive().max(5000), measured: measured.min(1) });
  app.post(
    "/practice/kit/front",
    { config, schema: { body: front } },
    async ({ body }): Promise<FrontOffset> => {
      const points = body.measured.map(({ ratio, frontToSubjectMm }) => ({
        magnification: parseRatio(ratio),
        frontToSubjectMm,
      }));
      return frontOffset(body.focalMm, points);
    },
  );
  app.put(
    "/practice/kit/:id/front",
    { config, schema: { params: z.object({ id }), body: z.object({ measured }) } },
    async (request): Promise<PracticeChanged> => {
      const lens = (await practice()).kit.lenses.find((one) => one.id === request.params.id);
      if (!lens) throw unknown();
      const points = request.body.measured.map(({ ratio, frontToSubjectMm }) => ({
        magnification: parseRatio(ratio),
        frontToSubjectMm,
      }));
      if (points.length > 0) frontOffset(lens.focalMm, points); // what cannot belong to the lens is not kept
      return await changed(deps, who(request), (kit) =>
        changeItem(kit, lens.id, { measured: request.body.measured }),
      );
    },
  );
};

async function changed(
  { desk, practiceFolder }: Pick<AreaDeps, "desk" | "practiceFolder">,
  actor: ReturnType<typeof who>,
  change: (kit: string) => string | null,
): Promise<PracticeChanged> {
  const folder = await practiceFolder();
  const file = await practiceFile(folder, KIT);
  const text = file && change(file.text);
  if (!file || text === null) throw unknown();
  return doneOrThrow(await changePractice(desk, actor, { folder, path: KIT, before: file.sha256, text }));
}

const unknown = () =>
  new SamescaleError("KIT_ITEM_UNKNOWN", "Nothing in the register is named that", "Choose it from the list.");

interface Facts {
  readonly sensor?: { readonly widthMm: number; readonly heightMm: number };
  readonly focalMm?: number;
  readonly greatestRatio?: number;
  readonly measured?: readonly unknown[];
  readonly kind?: string;
  readonly guideNumberM?: number | null;
  readonly lengthMm?: number;
  readonly widthMm?: number;
  readonly heightMm?: number;
  readonly colour?: string;
  readonly gigabytes?: number;
  readonly fits?: readonly string[];
  readonly calibrationId?: string;
}

function factsOf(item: Facts): string {
  const { sensor, focalMm, greatestRatio, measured, kind, guideNumberM, lengthMm, widthMm, heightMm } = item;
  const said = [
    sensor && `${sensor.widthMm} × ${sensor.heightMm} mm sensor`,
    focalMm && `${focalMm} mm`,
    greatestRatio && `up to ${formatRatio(greatestRatio)}`,
    measured && (measured.length > 0 ? `front measured at ${measured.length} ratios` : "front not measured"),
    kind,
    guideNumberM && `guide number ${guideNumberM} m`,
    lengthMm && `${lengthMm} mm`,
    item.colour,
    widthMm && heightMm && `${widthMm} × ${heightMm} mm`,
    item.gigabytes && `${item.gigabytes} GB`,
    item.fits && `for ${item.fits.join(", ")}`,
  ];
  return said.filter(Boolean).join(", ");
}
