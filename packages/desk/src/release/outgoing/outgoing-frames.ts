import type { MaskArea, OutgoingPictureAnswer, PicturePool } from "@samescale/picture";
import type { ConsentScope } from "@samescale/practice";
import type { Tables } from "../../access/seeing.ts";
import type { Desk } from "../../desk.ts";
import type { Basis, BasisFrame } from "../basis.ts";
import { CannotLeave } from "../cannot-leave.ts";
import type { OutgoingCamera, OutgoingFrame, OutgoingPicture } from "../form.ts";
import { deidentifies, SCOPE_RULES } from "../scope-rules.ts";
import type { Stage } from "../stage/stage.ts";
import { cameraOf, daysEarlier, derivativeOf, viewOf } from "./kept-of-frame.ts";

export interface Making {
  readonly desk: Desk;
  readonly pool: PicturePool;
  readonly basis: Basis;
  readonly scope: ConsentScope;
  readonly mark: string;
  readonly stage: Stage;
  /** By how many days the patient's days are moved; null: they are not. */
  readonly daysEarlier: number | null;
  readonly signal?: AbortSignal | undefined;
}

/** The frames as a form may show them, numbered in their order. */
export async function outgoingFrames(making: Making): Promise<OutgoingFrame[]> {
  const frames: OutgoingFrame[] = [];
  const digits = Math.max(3, String(making.basis.frames.length).length);
  for (const [i, frame] of making.basis.frames.entries()) {
    const name = `${making.mark}-${String(i + 1).padStart(digits, "0")}`;
    frames.push(await outgoingFrame(making, frame, i + 1, name));
  }
  return frames;
}

async function outgoingFrame(
  making: Making,
  frame: BasisFrame,
  number: number,
  name: string,
): Promise<OutgoingFrame> {
  const { desk, basis, scope } = making;
  const rules = SCOPE_RULES[scope];
  const tables = desk.library.read;
  const { frameId, original } = frame;
  const isHidden = deidentifies(rules);
  const takenAt = rules.times === "kept" ? frame.takenAt : null;
  const camera = await cameraIn(tables, scope, frame);
  const local = (sha256: string) => desk.library.originals.localFile(sha256);
  return {
    number,
    name,
    frameId,
    original,
    originalName: rules.fileNames === "original" ? frame.name : null,
    takenAt,
    day: dayOf(frame, rules.times, making.daysEarlier),
    view: await viewOf(tables, basis.request.id, frameId),
    camera: camera?.facts ?? null,
    reading: await derivativeOf(tables, "reading", frameId, isHidden),
    outline: await derivativeOf(tables, "outline", frameId, isHidden),
    measurement: await derivativeOf(tables, "measurement", frameId, isHidden),
    picture: () => madeOnce(making, frame, number, camera),
    async jpegAsCoded() {
      if (isHidden) return null;
      const input = { file: await local(original), sha256: original };
      const coded = await making.pool.run("jpeg-as-coded", input, making.signal);
      return coded && { ...coded, pxPerOriginalPx: 1, masked: 0 };
    },
    originals:
      rules.metadata === "untouched"
        ? frame.files.map((file) => ({ ...file, open: () => desk.library.originals.open(file.sha256) }))
        : [],
  };
}

function dayOf({ takenAt }: BasisFrame, times: "kept" | "shifted" | "removed", days: number | null) {
  if (takenAt === null || times === "removed") return null;
  const day = takenAt.slice(0, 10);
  if (times === "kept") return day;
  return days === null ? null : daysEarlier(day, days);
}

type OutgoingPictureInput = Extract<Parameters<PicturePool["run"]>[1], { areas: unknown }>;
type Camera = { readonly facts: OutgoingCamera; readonly takenAt: string | null } | null;

/** Made when it is first asked for, then read from where the release waits. */
async function madeOnce(
  making: Making,
  frame: BasisFrame,
  number: number,
  camera: Camera,
): Promise<OutgoingPicture> {
  const { stage, scope, pool, desk } = making;
  let facts: Omit<OutgoingPicture, "jpeg"> | null = null;
  const jpeg = await stage.once(`${number}.jpg`, async () => {
    const areas = frame.mask?.mask.areas ?? null;
    const input = await pictureInput(desk, scope, { original: frame.original, areas, camera });
    const made = await pool.run("outgoing-picture", input, making.signal);
    const why = whyNot(made);
    if (why !== null || !made.made) throw new CannotLeave(frame, why ?? "");
    const { jpeg: bytes, made: _, codes: __, ...rest } = made;
    facts = rest;
    await stage.once(`${number}.json`, async () => Buffer.from(JSON.stringify(rest)));
    return bytes;
  });
  facts ??= JSON.parse(Buffer.from(await stage.once(`${number}.json`, neverAgain)).toString("utf8"));
  return { ...(facts as Omit<OutgoingPicture, "jpeg">), jpeg };
}

/** How a picture is made that leaves in this scope: also for whoever wants to see it beforehand. */
export async function pictureInput(
  desk: Desk,
  scope: ConsentScope,
  of: { readonly original: string; readonly areas: readonly MaskArea[] | null; readonly camera: Camera },
): Promise<OutgoingPictureInput> {
  const { masksConfirmed, maxSidePx } = SCOPE_RULES[scope];
  const file = await desk.library.originals.localFile(of.original);
  return {
    file,
    sha256: of.original,
    maxSidePx,
    areas: masksConfirmed ? of.areas : null,
    camera: of.camera,
  };
}

/** What is said of how a picture was made, in this scope. */
export async function cameraIn(
  tables: Tables,
  scope: ConsentScope,
  frame: Pick<BasisFrame, "original" | "takenAt">,
): Promise<Camera> {
  const rules = SCOPE_RULES[scope];
  const facts = rules.metadata === "none" ? null : await cameraOf(tables, frame.original);
  return facts && { facts, takenAt: rules.times === "kept" ? frame.takenAt : null };
}

const neverAgain = (): never => {
  throw new Error("a picture waits without its size");
};

export function whyNot(made: OutgoingPictureAnswer): string | null {
  if (!made.made) return made.why;
  if (made.codes.length === 0) return null;
  return `A code can still be read in it after masking (${made.codes.length}): cover the label, and confirm the masks again`;
}
