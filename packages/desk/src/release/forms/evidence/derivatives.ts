import type { BagFile } from "@samescale/exchange";
import type { DerivativeKind, Library } from "@samescale/record";
import { jsonText } from "../../../act/json.ts";

type Reading = Pick<Library, "read" | "derived">;

const KINDS: readonly DerivativeKind[] = [
  "reading",
  "outline",
  "measurement",
  "series",
  "verdict",
  "picture",
  "mask",
];

export interface KeptDerivatives {
  /** Rows as the log names them. */
  readonly names: readonly string[];
  readonly files: readonly BagFile[];
}

/**
 * What was made from these originals and from nothing else: each result as the very bytes that its hash in the log is of,
 * and one line that says how it was made and from what.
 */
export async function derivativesOf(
  { read, derived }: Reading,
  frameIds: readonly string[],
  requestId: string | null,
  originals: ReadonlySet<string>,
): Promise<KeptDerivatives> {
  const rows = [];
  for (const kind of KINDS) {
    const found = await read
      .selectFrom(kind)
      .selectAll()
      .where((where) =>
        where.or([
          where("frame_id", "in", [...frameIds]),
          ...(requestId === null ? [] : [where("request_id", "=", requestId)]),
        ]),
      )
      .orderBy("id")
      .execute();
    rows.push(...found.map((row) => ({ ...row, kind })));
  }
  // Made from originals, or from what was itself made from these: a comparison with somebody else's picture stays.
  const known = new Set(originals);
  const kept: typeof rows = [];
  for (let waiting = rows; ; ) {
    const ready = waiting.filter(({ inputs }) =>
      (JSON.parse(inputs) as string[]).every((hash) => known.has(hash)),
    );
    if (ready.length === 0) break;
    for (const row of ready) known.add(row.sha256);
    kept.push(...ready);
    waiting = waiting.filter((row) => !ready.includes(row));
  }
  const files: BagFile[] = [];
  let recipes = "";
  for (const { id, kind, frame_id, recipe, inputs, body, sha256, made_at } of kept) {
    const file = `${kind}-${id}.json`;
    files.push({ path: `made/${file}`, bytes: Buffer.from(body) });
    recipes += `${jsonText({ file, frame: frame_id, recipe: JSON.parse(recipe), inputs: JSON.parse(inputs), sha256, madeAt: made_at })}\n`;
    const picture = kind === "picture" ? (JSON.parse(body) as { sha256?: string }).sha256 : undefined;
    if (picture !== undefined && (await derived.has(picture))) {
      files.push({ path: `made/${kind}-${id}.jpg`, bytes: derived.open(picture) });
    }
  }
  if (recipes !== "") files.push({ path: "made/recipes.jsonl", bytes: Buffer.from(recipes) });
  return { names: kept.map(({ kind, id }) => `${kind}/${id}`), files };
}
