import { type OutlineRepeat, outlineRepeatabilityOf } from "@samescale/geometry";
import { type OwnRepeats, ownRepeatsOf } from "@samescale/picture";
import type { Desk } from "../desk.ts";

/** One outline that was kept and measured. */
export interface KeptOutline extends OutlineRepeat {
  readonly frameId: string;
  /** ISO 8601 UTC. */
  readonly madeAt: string;
}

interface Parameters {
  readonly by?: unknown;
}
interface Sizes {
  readonly regions: readonly {
    readonly areaMm2: { readonly value: number };
    readonly perimeterMm: { readonly value: number };
  }[];
}

/** Fewer tell too little of their own scatter; Student's t for 5 is 2.57 where the normal has 1.96. */
const LEAST_DEGREES_OF_FREEDOM = 5;

/** Every measured outline whose person is on record, by the first measurement of it, oldest first. */
export async function keptOutlines({ library }: Desk): Promise<KeptOutline[]> {
  const outlines = await library.read
    .selectFrom("outline")
    .select(["sha256", "frame_id", "recipe", "made_at"])
    .orderBy("made_at")
    .orderBy("id")
    .execute();
  const measured = new Map<string, Sizes>();
  const measurements = await library.read
    .selectFrom("measurement")
    .select(["inputs", "body"])
    .orderBy("made_at")
    .orderBy("id")
    .execute();
  for (const { inputs, body } of measurements) {
    for (const input of JSON.parse(inputs) as string[]) {
      if (!measured.has(input)) measured.set(input, JSON.parse(body) as Sizes);
    }
  }
  return outlines.flatMap(({ sha256, frame_id, recipe, made_at }) => {
    const { by } = (JSON.parse(recipe) as { parameters: Parameters }).parameters;
    const regions = measured.get(sha256)?.regions ?? [];
    if (frame_id === null || typeof by !== "string" || regions.length === 0) return [];
    const sum = (of: "areaMm2" | "perimeterMm") => regions.reduce((total, r) => total + r[of].value, 0);
    return {
      ...{ thing: frame_id, frameId: frame_id, person: by, madeAt: made_at },
      areaMm2: sum("areaMm2"),
      perimeterMm: sum("perimeterMm"),
    };
  });
}

/** The department's own figures from every outline drawn again; null while there are too few to go by. */
export async function departmentRepeats(desk: Desk): Promise<OwnRepeats | null> {
  const outlines = await keptOutlines(desk);
  const again = Map.groupBy(outlines, ({ thing }) => thing);
  const found = outlineRepeatabilityOf(outlines.filter(({ thing }) => again.get(thing)!.length > 1));
  if (!found || found.edgeMm.withinDegreesOfFreedom < LEAST_DEGREES_OF_FREEDOM) return null;
  return ownRepeatsOf(found);
}
