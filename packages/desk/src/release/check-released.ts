import { createHash } from "node:crypto";
import { constants } from "node:fs";
import { lstat, open, readdir } from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import type { Desk } from "../desk.ts";
import { hashOfPlainFile } from "./stage/give-names.ts";
import { isPlainPath } from "./stage/plain-name.ts";

/** One fault of a released folder: a file, and what is wrong with it. */
export interface ReleasedFault {
  readonly file: string;
  readonly fault: string;
}

export interface ReleasedCheck {
  readonly releases: readonly string[];
  readonly files: number;
  readonly faults: readonly ReleasedFault[];
}

const RECEIPT = /^receipt-[0-9A-Za-z]+\.json$/;
const MOST_RECEIPT_BYTES = 4_000_000;

const receiptSchema = z.object({
  what: z.literal("samescale receipt 1"),
  release: z.string().regex(/^[0-9A-Za-z]{1,64}$/),
  mark: z.string().regex(/^[0-9A-Za-z]{1,64}$/),
  files: z.array(
    z.object({
      name: z.string().refine(isPlainPath),
      bytes: z.number().int().min(0),
      sha256: z.string().regex(/^[0-9a-f]{64}$/),
    }),
  ),
});

/**
 * Hashes a released folder again: every file against its receipt, every receipt against the custody log. Files that stand
 * on no receipt are named as well.
 * @param desk the library that it came from; null: only the receipts are asked
 */
export async function checkReleased(folder: string, desk: Desk | null): Promise<ReleasedCheck> {
  const faults: ReleasedFault[] = [];
  const releases: string[] = [];
  const known = new Set<string>();
  for (const name of (await readdir(folder)).sort()) {
    if (!RECEIPT.test(name)) continue;
    known.add(name).add(name.replace(/\.json$/, ".txt"));
    const bytes = await plainBytes(join(folder, name));
    const read = bytes && receiptFrom(bytes);
    if (!read) {
      faults.push({ file: name, fault: "is no receipt that can be read" });
      continue;
    }
    releases.push(read.release);
    for (const file of read.files) {
      known.add(file.name);
      const sha256 = await hashOfPlainFile(join(folder, file.name));
      if (sha256 === null) faults.push({ file: file.name, fault: "is missing, or is no plain file" });
      else if (sha256 !== file.sha256)
        faults.push({ file: file.name, fault: `has changed: expected ${file.sha256}, found ${sha256}` });
    }
    if (desk !== null) faults.push(...(await againstLog(desk, folder, name, bytes!, read)));
  }
  if (releases.length === 0 && faults.length === 0) {
    // Some other folder: what lies in it is not listed file by file.
    return { releases, files: 0, faults: [{ file: ".", fault: "holds no receipt" }] };
  }
  for await (const path of filesBelow(folder, "")) {
    if (!known.has(path)) faults.push({ file: path, fault: "stands on no receipt" });
  }
  return { releases, files: known.size - 2 * releases.length, faults };
}

type Read = z.output<typeof receiptSchema>;

function receiptFrom(bytes: Buffer): Read | null {
  try {
    return receiptSchema.safeParse(JSON.parse(bytes.toString("utf8"))).data ?? null;
  } catch {
    return null;
  }
}

async function againstLog(
  { library }: Desk,
  folder: string,
  name: string,
  bytes: Buffer,
  { release, mark }: Read,
): Promise<ReleasedFault[]> {
  const acts = await library.read
    .selectFrom("act")
    .select(["act", "details"])
    .where("subject", "=", `release/${release}`)
    .orderBy("sequence")
    .execute();
  const out = acts.find(({ act }) => act === "release.out");
  if (!out) return [{ file: name, fault: `the custody log knows no release ${release}` }];
  const faults: ReleasedFault[] = [];
  const { receiptSha256 } = JSON.parse(out.details) as { receiptSha256?: string };
  const sha256 = createHash("sha256").update(bytes).digest("hex");
  if (sha256 !== receiptSha256) {
    faults.push({ file: name, fault: `is not the receipt that the custody log tells of (${receiptSha256})` });
  }
  if (acts.some(({ act }) => act === "release.take-back")) {
    faults.push({ file: name, fault: "this release was taken back: it should not be here" });
  }
  const row = await library.read
    .selectFrom("release")
    .select(["receipt", "recall_because", "expires_on"])
    .where("id", "=", release)
    .executeTakeFirst();
  const text = `receipt-${mark}.txt`;
  const { all = [] } = JSON.parse(row?.receipt ?? "{}") as { all?: { name: string; sha256: string }[] };
  if ((await hashOfPlainFile(join(folder, text))) !== all.find((file) => file.name === text)?.sha256) {
    faults.push({ file: text, fault: "is missing or has changed" });
  }
  if (row?.recall_because) faults.push({ file: name, fault: `is to be given back: ${row.recall_because}` });
  const today = library.clock().toISOString().slice(0, 10);
  if (row?.expires_on && row.expires_on < today) {
    faults.push({ file: name, fault: `its last day of use was ${row.expires_on}` });
  }
  return faults;
}

/** Null for what is no plain file or too long for a receipt; never through a link. */
async function plainBytes(path: string): Promise<Buffer | null> {
  const found = await lstat(path).catch(() => null);
  if (!found?.isFile() || found.size > MOST_RECEIPT_BYTES) return null;
  const handle = await open(path, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0));
  try {
    return await handle.readFile();
  } finally {
    await handle.close();
  }
}

/** Folders are walked, links are not: a link is a file that stands on no receipt. */
async function* filesBelow(root: string, below: string): AsyncGenerator<string> {
  const entries = await readdir(join(root, below), { withFileTypes: true });
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    const path = below === "" ? entry.name : `${below}/${entry.name}`;
    if (below === "" && entry.name === ".waiting") continue;
    if (entry.isDirectory()) yield* filesBelow(root, path);
    else yield path;
  }
}
