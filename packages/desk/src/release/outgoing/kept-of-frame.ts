import type { InfoAnswer, Recipe } from "@samescale/picture";
import type { Plan } from "@samescale/practice";
import type { Tables } from "../../access/seeing.ts";
import type { OutgoingCamera, OutgoingDerivative, OutgoingView } from "../form.ts";

/**
 * Where a de-identified release must not lead back: hashes of what lies in the library, and who did it. By name, at any
 * depth, as recipes and readings nest them.
 */
const LEADS_BACK: ReadonlySet<string> = new Set([
  "file",
  "sha256",
  "by",
  "inputs",
  "original",
  "baseline",
  "id",
  "scaleId",
]);

/** The newest derivative of one kind, without what leads back where the release is de-identified. */
export async function derivativeOf<Body extends object>(
  tables: Tables,
  table: "reading" | "outline" | "measurement",
  frameId: string,
  isHidden: boolean,
): Promise<OutgoingDerivative<Body> | null> {
  const row = await tables
    .selectFrom(table)
    .select(["recipe", "body", "sha256"])
    .where("frame_id", "=", frameId)
    .orderBy("made_at", "desc")
    .orderBy("id", "desc")
    .executeTakeFirst();
  if (!row) return null;
  const reviver = (key: string, value: unknown) => (isHidden && LEADS_BACK.has(key) ? undefined : value);
  return {
    sha256: isHidden ? null : row.sha256,
    recipe: JSON.parse(row.recipe, reviver) as Recipe,
    body: JSON.parse(row.body, reviver) as Body,
  };
}

/** The planned view that a frame was last judged against, as the newest plan that has it describes it. */
export async function viewOf(
  tables: Tables,
  requestId: string,
  frameId: string,
): Promise<OutgoingView | null> {
  const verdict = await tables
    .selectFrom("verdict")
    .select("body")
    .where("frame_id", "=", frameId)
    .orderBy("made_at", "desc")
    .orderBy("id", "desc")
    .executeTakeFirst();
  if (!verdict) return null;
  const { view: wanted } = JSON.parse(verdict.body) as { readonly view: string };
  const plans = await tables
    .selectFrom("plan")
    .select(["format", "body"])
    .where("request_id", "=", requestId)
    .orderBy("revision", "desc")
    .execute();
  for (const { format, body } of plans) {
    if (format !== "views/2") continue;
    const planned = (JSON.parse(body) as Plan).views.find(({ view }) => view.key === wanted);
    if (!planned) continue;
    const { key, name, part, side, aspect, mirrored, identifiable } = planned.view;
    return { key, name, part, side, aspect, mirrored, identifiable };
  }
  return null;
}

/** What the file says of how it was made. */
export async function cameraOf(tables: Tables, original: string): Promise<OutgoingCamera | null> {
  const row = await tables
    .selectFrom("file")
    .select("info")
    .where("sha256", "=", original)
    .executeTakeFirst();
  if (row?.info == null) return null;
  const { make, model, lens, focalMm, fNumber, exposureS, iso, sensorWidthMm } = JSON.parse(
    row.info,
  ) as InfoAnswer;
  return { make, model, lens, focalMm, fNumber, exposureS, iso, sensorWidthMm };
}

export const daysEarlier = (day: string, days: number): string =>
  new Date(Date.parse(`${day}T00:00:00Z`) - days * 86_400_000).toISOString().slice(0, 10);
