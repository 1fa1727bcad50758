import type { Json } from "@samescale/record";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { signedOrWhy } from "../custody/signed-or-why.ts";
import type { Desk } from "../desk.ts";
import { type Basis, basisOf } from "./basis.ts";
import type { OutgoingFile } from "./form.ts";
import { type Item, type Making, makeReady, type Ready } from "./make-ready.ts";
import { mayLeave } from "./may-leave.ts";
import type { Receipt } from "./receipt.ts";
import { SCOPE_RULES } from "./scope-rules.ts";
import { giveNames } from "./stage/give-names.ts";
import { openStage, type StagedFile } from "./stage/stage.ts";
import { takeBack, takeBackLeftovers } from "./take-back.ts";
import { type Refusal, type ReleaseWanted, refusal, refusalText } from "./wanted.ts";

export interface Released {
  readonly id: string;
  /** Begins the names of its files. */
  readonly mark: string;
  /** Below the folder of everything released. */
  readonly folder: string;
  readonly receipt: Receipt;
  /** Releases of runs that were killed, taken back now. */
  readonly takenBack: readonly string[];
  /** Why the log could not be signed after it left; null: it is signed. */
  readonly notSigned: string | null;
}

export type ReleaseOutcome =
  | { readonly done: true; readonly value: Released }
  | { readonly done: false; readonly reason: string; readonly refusals: readonly Refusal[] };

/**
 * The single exit: nothing else writes below the folder of what was released.
 *
 * Who may and consent are asked first, so that nothing is made in vain; then the form makes the files, in a place that is
 * nobody's yet, without holding up other writers. Then two short transactions:
 *
 * 1. `release.out`: everything is asked again, as it stands now; release, items and log entry are written together.
 * 2. `release.hand-over`: everything is asked once more, and the files get their names while this transaction keeps every
 *    other writer waiting. A withdrawal is a write as well: it comes before, and then this one refuses, or it waits until
 *    the names are given and finds the release in its list of what went out. No byte leaves after a withdrawal.
 *
 * Killed in between, the log tells of a release that did not happen, never the other way round; the next release into
 * the same folder takes back what a killed run left, and says so.
 */
export async function releaseOut(
  desk: Desk,
  actor: Actor,
  wanted: ReleaseWanted,
  into: Making & {
    /** The folder of everything released. */
    readonly releasedFolder: string;
  },
): Promise<ReleaseOutcome> {
  const asked = await mayLeave(desk, actor, wanted, into.form);
  if ("refusals" in asked) return refused(asked.refusals);
  const takenBack = await takeBackLeftovers(desk, actor, into.releasedFolder);
  const stage = await openStage(into.releasedFolder, desk.library.newId());
  try {
    const ready = await makeReady(desk, actor, wanted, asked.basis, stage, into);
    if ("refusals" in ready) return refused(ready.refusals);
    const written = await writeRelease(desk, actor, ready);
    if (!written.done) return refused([refusal(written.reason)]);
    const handed = await handOver(desk, actor, ready).catch(async (thrown: unknown) => {
      await takeBack(desk, actor, stage.releaseId, stage.released, "The files could not get their names");
      throw thrown;
    });
    if (!handed.done) {
      await takeBack(desk, actor, stage.releaseId, stage.released, handed.reason);
      return refused([refusal(handed.reason)]);
    }
    const { folder, receipt } = ready;
    const signed = await signedOrWhy(desk); // what left stands in the log: from here on nobody can take it out unseen
    const notSigned = "notSigned" in signed ? signed.notSigned : null;
    const value = { id: stage.releaseId, mark: receipt.mark, folder, receipt, takenBack, notSigned };
    return { done: true, value };
  } finally {
    await stage.clear();
  }
}

const refused = (refusals: readonly Refusal[]) =>
  ({ done: false, reason: refusalText(refusals), refusals }) as const;

/** A release as it would be, had it left. */
export interface TriedRelease {
  readonly frames: number;
  readonly files: readonly StagedFile[];
  /** What is taken out and what stays, one sentence each. */
  readonly rules: readonly string[];
  readonly expiresOn: string | null;
}

/**
 * Everything up to the moment in which it would be written down: the files are made where they wait, looked at, and
 * removed. Nothing has left and nothing is on record. Their names begin with a mark that another release will not have.
 */
export async function tryRelease(
  desk: Desk,
  actor: Actor,
  wanted: ReleaseWanted,
  into: Parameters<typeof releaseOut>[3],
): Promise<
  { readonly done: true; readonly value: TriedRelease } | Extract<ReleaseOutcome, { readonly done: false }>
> {
  const asked = await mayLeave(desk, actor, wanted, into.form);
  if ("refusals" in asked) return refused(asked.refusals);
  const stage = await openStage(into.releasedFolder, desk.library.newId());
  try {
    const ready = await makeReady(desk, actor, wanted, asked.basis, stage, into);
    if ("refusals" in ready) return refused(ready.refusals);
    const { frames, rules, expiresOn } = ready.receipt;
    return { done: true, value: { frames, rules, expiresOn, files: [...stage.files] } };
  } finally {
    await stage.clear();
  }
}

/** The same question as at the start: the answer must be the same to the last identifier. */
async function stillSo({ wanted, basis }: Ready, { tables, actor, now }: ActContext): Promise<string | null> {
  const asked = await basisOf(tables, actor, wanted, now);
  if ("refusals" in asked) return refusalText(asked.refusals);
  if (jsonText(asked.basis) === jsonText(basis)) return null;
  return "Pictures, masks or consents have changed while this was made: nothing has left, release them again";
}

const writeRelease = defineAct<Ready, null>({
  name: "release.out",
  may: PHOTOGRAPHERS,
  async consent(ready, context) {
    return (await stillSo(ready, context)) ?? (await nameTaken(ready, context));
  },
  async run(ready, { writing, actor, now, newId }) {
    const { wanted, basis, stage, folder, form, receipt, receiptSha256, items } = ready;
    const id = stage.releaseId;
    await writing.insert("release", {
      id,
      request_id: basis.request.id,
      patient_id: basis.patientId,
      scope: wanted.scope,
      recipient: wanted.to,
      purpose: wanted.purpose,
      publication: wanted.publication ?? null,
      consents: jsonText(basis.consentIds),
      form,
      folder,
      project_id: basis.project?.id ?? null,
      recipe: jsonText({
        step: "release",
        version: 1,
        rules: SCOPE_RULES[wanted.scope],
        masks: masksOf(ready),
      }),
      receipt: jsonText({ ...receipt, sha256: receiptSha256, all: stage.files }),
      expires_on: basis.expiresOn,
      released_by: actor.name,
      made_at: now,
      handed_over_at: null,
      taken_back_at: null,
      taken_back_because: null,
    });
    for (const item of items) {
      for (const shown of shownBy(item, basis)) {
        const { name, sha256, bytes } = item;
        await writing.insert("release_item", {
          id: newId(),
          release_id: id,
          frame_id: shown.frameId,
          original: shown.original,
          name: `${folder}/${name}`,
          sha256,
          bytes,
        });
      }
    }
    const { scope, to, purpose } = wanted;
    const details: Record<string, Json> = {
      scope,
      to,
      purpose,
      form,
      folder,
      request: basis.request.id,
      consents: [...basis.consentIds],
      files: items.length,
      receiptSha256,
    };
    return { value: null, deed: { act: "release.out", subject: `release/${id}`, details } };
  },
});

/** By frame: the hash of what a person confirmed. */
const masksOf = ({ basis, wanted }: Ready): Record<string, string> =>
  SCOPE_RULES[wanted.scope].masksConfirmed
    ? Object.fromEntries(basis.frames.flatMap(({ frameId, mask }) => (mask ? [[frameId, mask.sha256]] : [])))
    : {};

/** A document shows every frame of the release. */
function shownBy({ frameId, original }: Item, basis: Basis): Pick<OutgoingFile, "frameId" | "original">[] {
  if (frameId !== null) return [{ frameId, original }];
  return basis.frames.map((frame) => ({ frameId: frame.frameId, original: frame.original }));
}

/** Names of releases that were taken back are free again. */
async function nameTaken({ items, folder }: Ready, { tables }: ActContext): Promise<string | null> {
  for (const { name } of items) {
    const taken = await tables
      .selectFrom("release_item")
      .innerJoin("release", "release.id", "release_item.release_id")
      .select("release.id")
      .where("release_item.name", "=", `${folder}/${name}`)
      .where("release.taken_back_at", "is", null)
      .executeTakeFirst();
    if (taken) return `There is a released file ${folder}/${name} already: choose another folder`;
  }
  return null;
}

const handOver = defineAct<Ready, null>({
  name: "release.hand-over",
  may: PHOTOGRAPHERS,
  consent: stillSo,
  async run({ stage, folder }, { writing, now }) {
    await giveNames(stage, folder);
    const id = stage.releaseId;
    await writing.update("release", id, { handed_over_at: now });
    return { value: null, deed: { act: "release.hand-over", subject: `release/${id}`, details: { folder } } };
  },
});
