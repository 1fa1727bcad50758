import { createHash } from "node:crypto";
import type { PicturePool } from "@samescale/picture";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import type { Basis } from "./basis.ts";
import { CannotLeave } from "./cannot-leave.ts";
import type { OutgoingFile, OutgoingFrame, ReleaseForm } from "./form.ts";
import { formContext } from "./outgoing/form-context.ts";
import { type Receipt, receiptNames, receiptOf, receiptText } from "./receipt.ts";
import { SCOPE_RULES } from "./scope-rules.ts";
import type { Stage, StagedFile } from "./stage/stage.ts";
import { type Refusal, type ReleaseWanted, refusal } from "./wanted.ts";

/** Everything that the two transactions need; the second must find what the first found. */
export interface Ready {
  readonly wanted: ReleaseWanted;
  readonly basis: Basis;
  readonly stage: Stage;
  readonly folder: string;
  readonly form: string;
  readonly receipt: Receipt;
  readonly receiptSha256: string;
  readonly items: readonly Item[];
}

export type Item = StagedFile & Pick<OutgoingFile, "frameId" | "original">;

/** The last letters of an identifier are random; the first would tell when it was made. */
export const markOf = (releaseId: string): string => releaseId.slice(-8);

/** How a release is made. */
export interface Making {
  readonly pool: PicturePool;
  readonly form: ReleaseForm;
  readonly signal?: AbortSignal;
  /** Told how many pictures are made. */
  readonly step?: (done: number, of: number) => void;
}

/** Makes the files and the receipt, where nobody sees them yet. */
export async function makeReady(
  desk: Desk,
  actor: Actor,
  wanted: ReleaseWanted,
  basis: Basis,
  stage: Stage,
  { pool, form, signal, step }: Making,
): Promise<Ready | { readonly refusals: readonly Refusal[] }> {
  const now = desk.library.clock().toISOString();
  const mark = markOf(stage.releaseId);
  const rules = SCOPE_RULES[wanted.scope];
  const made = await formContext(wanted, actor, now, { desk, pool, basis, mark, stage, signal });
  const context = { ...made, frames: counted(made.frames, step) };
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

/** The same frames, each told when its picture is made. */
function counted(frames: readonly OutgoingFrame[], step: Making["step"]): readonly OutgoingFrame[] {
  const made = new Set<number>();
  const told = <Made>(number: number, picture: Made): Made => {
    step?.(made.add(number).size, frames.length);
    return picture;
  };
  return frames.map((frame) => ({
    ...frame,
    picture: async () => told(frame.number, await frame.picture()),
    jpegAsCoded: async () => told(frame.number, await frame.jpegAsCoded()),
  }));
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
    way: null,
  };
}
