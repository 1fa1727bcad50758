import { constants } from "node:fs";
import { lstat, open } from "node:fs/promises";
import { join } from "node:path";
import { fitsZip, storedZip } from "@samescale/exchange";
import { maySeeRequest } from "../access/seeing.ts";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import type { Outcome } from "../act/outcome.ts";
import { consentAsOf } from "../consent/consent-for-use.ts";
import type { Desk } from "../desk.ts";
import { markOf } from "./make-ready.ts";
import { hashOfPlainFile } from "./stage/give-names.ts";
import type { StagedFile } from "./stage/stage.ts";

export interface FetchedFile extends StagedFile {
  open(): AsyncIterable<Uint8Array>;
}

export interface FetchedRelease {
  readonly mark: string;
  readonly files: readonly FetchedFile[];
  /** All of it as one archive; null: it is too large for one, and is fetched file by file. */
  readonly zip: (() => AsyncIterable<Uint8Array>) | null;
}

interface ToFetch {
  readonly releaseId: string;
  /** One of its files; null: all of them. */
  readonly name: string | null;
}

type Found = {
  readonly madeAt: string;
  readonly folder: string;
  readonly files: readonly StagedFile[];
};

/** Fetching is passing on as well: who may, and whether consent still reaches as far, is asked anew and written down. */
const fetchRelease = defineAct<ToFetch, Found>({
  name: "release.fetch",
  may: [...PHOTOGRAPHERS, "requester"],
  consent: whyNotFetched,
  async run({ releaseId, name }, { tables }) {
    const row = await tables
      .selectFrom("release")
      .select(["folder", "receipt", "made_at"])
      .where("id", "=", releaseId)
      .executeTakeFirstOrThrow();
    const { all } = JSON.parse(row.receipt) as { readonly all: readonly StagedFile[] };
    const files = name === null ? all : all.filter((file) => file.name === name);
    if (files.length === 0) return { refused: "This release has no file of that name" };
    const details = name === null ? { files: files.length } : { file: name };
    return {
      value: { folder: row.folder, madeAt: row.made_at, files },
      deed: { act: "release.fetch", subject: `release/${releaseId}`, details },
    };
  },
});

async function whyNotFetched(
  { releaseId }: ToFetch,
  { tables, actor, now }: ActContext,
): Promise<string | null> {
  const row = await tables
    .selectFrom("release")
    .select(["request_id", "scope", "publication", "expires_on", "recall_because"])
    .select(["handed_over_at", "taken_back_at"])
    .where("id", "=", releaseId)
    .executeTakeFirst();
  const scope = row?.scope as Parameters<typeof consentAsOf>[1]["scope"];
  const mayKnow =
    row?.request_id != null &&
    (PHOTOGRAPHERS.includes(actor.role) || scope === "requester") &&
    (await maySeeRequest(tables, actor, row.request_id, now));
  if (!mayKnow) return `There is no release ${releaseId}`;
  if (row.handed_over_at === null || row.taken_back_at !== null) return "This release has not left";
  if (row.recall_because !== null)
    return `This release is to be given back: ${row.recall_because}. What may leave now is released anew`;
  if (row.expires_on !== null && row.expires_on < now.slice(0, 10))
    return `Its last day of use was ${row.expires_on}`;
  const items = await tables
    .selectFrom("release_item")
    .select("frame_id")
    .distinct()
    .where("release_id", "=", releaseId)
    .execute();
  const { request_id: requestId, publication } = row;
  for (const { frame_id: frameId } of items) {
    const covered = await consentAsOf(tables, {
      scope,
      at: now,
      requestId: requestId!,
      frameId,
      publication,
    });
    if (!covered.covered) return covered.why;
  }
  return null;
}

/**
 * What was released, once more, for whoever takes it to the recipient: the very files that left, each hashed before a
 * byte of them is given out. A requester fetches what was released to the requester.
 * @param name one file as the receipt names it; null: all
 */
export async function fetchReleased(
  desk: Desk,
  actor: Actor,
  releasedFolder: string,
  releaseId: string,
  name: string | null,
): Promise<Outcome<FetchedRelease>> {
  const found = await fetchRelease(desk, actor, { releaseId, name });
  if (!found.done) return found;
  const { folder, madeAt, files } = found.value;
  const place = join(releasedFolder, folder);
  // Nothing is read through a link, the folder itself included.
  if ((await lstat(place).catch(() => null))?.isDirectory() !== true) {
    return {
      done: false,
      reason: `What was released as ${folder} does not lie in this machine's folder of released files`,
    };
  }
  for (const file of files) {
    const sha256 = await hashOfPlainFile(join(place, file.name));
    if (sha256 === file.sha256) continue;
    const why = sha256 === null ? "is missing" : "is not what left any more";
    return {
      done: false,
      reason: `${file.name} ${why}: it was moved or changed after the release. Release it anew`,
    };
  }
  const opened = files.map((file) => ({ ...file, open: () => bytesOf(join(place, file.name)) }));
  const zip = fitsZip(opened) ? () => storedZip(opened, new Date(madeAt)) : null;
  return { done: true, value: { mark: markOf(releaseId), files: opened, zip } };
}

async function* bytesOf(path: string): AsyncGenerator<Uint8Array> {
  const handle = await open(path, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0));
  try {
    yield* handle.createReadStream({ autoClose: false });
  } finally {
    await handle.close();
  }
}
