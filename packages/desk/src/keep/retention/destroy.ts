import type { Library } from "@samescale/record";
import { maySeeRequest } from "../../access/seeing.ts";
import type { Actor } from "../../act/actor.ts";
import { isPlainText } from "../../act/checks.ts";
import { defineAct } from "../../act/define-act.ts";
import type { Outcome } from "../../act/outcome.ts";
import type { Desk } from "../../desk.ts";
import { holdsOn } from "../holds/holds.ts";
import { factsOf } from "./facts.ts";
import { type RetentionPractice, ruleFor } from "./proposals.ts";
import { whatIsLeft } from "./what-is-left.ts";

export interface Destroying {
  readonly requestId: string;
  /** Null: all frames of the request. */
  readonly frameIds: readonly string[] | null;
  readonly because: string;
  readonly practice: RetentionPractice;
}

export interface Destroyed {
  readonly originals: number;
  readonly derived: number;
  /** Where it still is, in sentences: what a person must do now. */
  readonly left: readonly string[];
}

/** Writes down that originals are destroyed; their bytes go after that (`finishDestroying`). */
const noteDestroyed = defineAct<Destroying, { readonly originals: readonly string[] }>({
  name: "original.destroy",
  may: ["lead"],
  consent: "nothing leaves",
  async run({ requestId, frameIds, because, practice }, { writing, tables, actor, now }) {
    if (!isPlainText(because)) return { refused: "Destroying pictures needs a reason" };
    const facts = await factsOf(tables, requestId);
    if (facts === null || !(await maySeeRequest(tables, actor, requestId, now))) {
      return { refused: `There is no request ${requestId}` };
    }
    const frames = frameIds ?? facts.frameIds;
    const stranger = frames.find((id) => !facts.frameIds.includes(id));
    if (stranger !== undefined) return { refused: `The request has no frame ${stranger}` };
    if (facts.evidence)
      return { refused: "It is evidence: not destroyed here while it is marked or was released as that" };
    const held = await holdsOn(tables, requestId, facts.patientId, facts.frameIds);
    if (held.length > 0) return { refused: `A legal hold forbids it: ${held.join("; ")}` };
    const kept = ruleFor(practice, facts);
    if (kept.from === null || kept.from > now.slice(0, 10)) return { refused: `It is not time: ${kept.why}` };
    const originals: string[] = [];
    for (const id of frames) {
      const files = await tables
        .selectFrom("file")
        .select("sha256")
        .where("frame_id", "=", id)
        .where("destroyed_at", "is", null)
        .execute();
      for (const { sha256 } of files) {
        await writing.update("file", sha256, { destroyed_at: now, destroyed_because: because });
        originals.push(sha256);
      }
    }
    if (originals.length === 0) return { refused: "Nothing of it is here any more" };
    const details = { because, rule: kept.rule, keptUntil: kept.from, originals };
    const deed = { act: "original.destroy", subject: `request/${requestId}`, details };
    return { value: { originals }, deed };
  },
});

/**
 * Destroys what is over its time: the bytes of originals and of pictures made from them; rows and log stay and tell of it.
 *
 * The log is written first. Killed between the two, `verify` finds bytes that the record says are gone, and the next
 * call (or `finishDestroying`) removes them. The other way round it would find a picture missing of which nobody
 * knows why, which is what a theft looks like.
 */
export async function destroyPictures(
  desk: Desk,
  actor: Actor,
  destroying: Destroying,
): Promise<Outcome<Destroyed>> {
  const noted = await noteDestroyed(desk, actor, destroying);
  if (!noted.done) return noted;
  const { originals } = noted.value;
  const removed = await removeBytes(desk.library, originals);
  return { done: true, value: { ...removed, left: await whatIsLeft(desk.library.read, originals) } };
}

/** Removes what the record says was destroyed and is still here: a run was killed in the middle. Safe at any time. */
export async function finishDestroying(desk: Desk): Promise<Omit<Destroyed, "left">> {
  const rows = await desk.library.read
    .selectFrom("file")
    .select("sha256")
    .where("destroyed_at", "is not", null)
    .execute();
  return removeBytes(
    desk.library,
    rows.map(({ sha256 }) => sha256),
  );
}

async function removeBytes(
  library: Library,
  sha256s: readonly string[],
): Promise<{ readonly originals: number; readonly derived: number }> {
  let originals = 0;
  let derived = 0;
  for (const sha256 of sha256s) {
    for (const picture of await picturesOnlyOf(library, sha256)) {
      if (await library.derived.destroy(picture)) derived++;
    }
    if (await library.originals.destroy(sha256)) originals++;
  }
  return { originals, derived };
}

/** Pictures made from this original, by the hash of their bytes; not those whose very bytes another one has as well. */
async function picturesOnlyOf({ read }: Library, original: string): Promise<string[]> {
  const file = await read
    .selectFrom("file")
    .select("frame_id")
    .where("sha256", "=", original)
    .executeTakeFirst();
  if (file?.frame_id == null) return [];
  const rows = await read
    .selectFrom("picture")
    .select(["sha256", "body", "inputs"])
    .where("frame_id", "=", file.frame_id)
    .execute();
  const own: string[] = [];
  for (const { sha256: bodyHash, body, inputs } of rows) {
    if (!(JSON.parse(inputs) as readonly string[]).includes(original)) continue;
    const { sha256 } = JSON.parse(body) as { sha256?: string };
    if (sha256 !== undefined && !(await isSharedByLiving(read, bodyHash))) own.push(sha256);
  }
  return own;
}

/** Whether a picture with this very body was made from something that is still here. */
async function isSharedByLiving(read: Library["read"], bodyHash: string): Promise<boolean> {
  const rows = await read.selectFrom("picture").select("inputs").where("sha256", "=", bodyHash).execute();
  for (const { inputs } of rows) {
    const gone = await read
      .selectFrom("file")
      .select("sha256")
      .where("sha256", "in", JSON.parse(inputs) as string[])
      .where("destroyed_at", "is not", null)
      .execute();
    if (gone.length === 0) return true;
  }
  return false;
}
