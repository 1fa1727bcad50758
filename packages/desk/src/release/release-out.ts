import { createHash } from "node:crypto";
import type { PicturePool } from "@samescale/picture";
import { SCOPE_WORDS } from "@samescale/practice";
import type { Json } from "@samescale/record";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { signedOrWhy } from "../custody/signed-or-why.ts";
import type { Desk } from "../desk.ts";
import { type Basis, basisOf } from "./basis.ts";
import { CannotLeave } from "./cannot-leave.ts";
import type { OutgoingFile, ReleaseForm } from "./form.ts";
import { formContext } from "./outgoing/form-context.ts";
import { type Receipt, receiptNames, receiptOf, receiptText } from "./receipt.ts";
import { SCOPE_RULES } from "./scope-rules.ts";
import { giveNames } from "./stage/give-names.ts";
import { openStage, type Stage, type StagedFile } from "./stage/stage.ts";
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

/** Everything that the two transactions need; the second must find what the first found. */
interface Ready {
  readonly wanted: ReleaseWanted;
  readonly basis: Basis;
  readonly stage: Stage;
  readonly folder: string;
  readonly form: string;
  readonly receipt: Receipt;
  readonly receiptSha256: string;
  readonly items: readonly Item[];
}

type Item = StagedFile & Pick<OutgoingFile, "frameId" | "original">;

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
  into: {
    readonly pool: PicturePool;
    readonly form: ReleaseForm;
    /** The folder of everything released. */
    readonly releasedFolder: string;
    readonly signal?: AbortSignal;
  },
): Promise<ReleaseOutcome> {
  const { library } = desk;
  const asked = await basisOf(library.read, actor, wanted, library.clock().toISOString());
  if ("refusals" in asked) return refused(asked.refusals);
  if (!into.form.scopes.includes(wanted.scope)) {
    return refused([refusal(`${into.form.name} is no form for ${SCOPE_WORDS[wanted.scope]}`)]);
  }
  const takenBack = await takeBackLeftovers(desk, actor, into.releasedFolder);
  const stage = await openStage(into.releasedFolder, library.newId());
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

const refused = (refusals: readonly Refusal[]): ReleaseOutcome => ({
  done: false,
  reason: refusalText(refusals),
  refusals,
});

/** The last letters of an identifier are random; the first would tell when it was made. */
const markOf = (releaseId: string): string => releaseId.slice(-8);

/** Makes the files and the receipt. */
async function makeReady(
  desk: Desk,
  actor: Actor,
  wanted: ReleaseWanted,
  basis: Basis,
  stage: Stage,
  into: Parameters<typeof releaseOut>[3],
): Promise<Ready | { readonly refusals: readonly Refusal[] }> {
  const { pool, form, signal } = into;
  const now = desk.library.clock().toISOString();
  const mark = markOf(stage.releaseId);
  const rules = SCOPE_RULES[wanted.scope];
  const context = await formContext(wanted, actor, now, { desk, pool, basis, mark, stage, signal });
  const refusals: Refusal[] = [];
  for (const frame of rules.masksConfirmed ? context.frames : []) {
    await frame.picture().catch((thrown) => refusals.push(refusalOf(thrown, basis)));
  }
  if (refusals.length > 0) return { refusals };
  const items: Item[] = [];
  try {
    for await (const { name, bytes, frameId, original } of form.files(context)) {
      signal?.throwIfAborted();
      items.push({ ...(await stage.add(name, bytes)), frameId, original });
    }
  } catch (thrown) {
    return { refusals: [refusalOf(thrown, basis)] };
  }
  if (items.length === 0)
    return { refusals: [refusal(`There is nothing in these frames that ${form.name} can show`)] };
  const receipt = receiptOf(wanted, basis, {
    releaseId: stage.releaseId,
    mark,
    now,
    releasedBy: actor.name,
    form: form.name,
    rules,
    files: stage.files,
  });
  const names = receiptNames(mark);
  const text = Buffer.from(`${JSON.stringify(receipt, null, 1)}\n`);
  await stage.add(names.json, text);
  await stage.add(names.text, Buffer.from(receiptText(receipt)));
  const receiptSha256 = createHash("sha256").update(text).digest("hex");
  return {
    wanted,
    basis,
    stage,
    folder: wanted.folder ?? mark,
    form: form.name,
    receipt,
    receiptSha256,
    items,
  };
}

/** @throws what is no answer about a frame */
function refusalOf(thrown: unknown, { frames }: Basis): Refusal {
  if (!(thrown instanceof CannotLeave)) throw thrown;
  const { frame, message } = thrown;
  // The photographer knows it by its name on the card, not by the one that it would have got.
  const known = frames.find(({ frameId }) => frameId === frame.frameId);
  return {
    frameId: frame.frameId,
    frame: known?.name ?? frame.name,
    why: message.slice(frame.name.length + 2),
  };
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
