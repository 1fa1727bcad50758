import type { OutgoingPictureAnswer, PicturePool } from "@samescale/picture";
import type { ConsentScope } from "@samescale/practice";
import type { Desk } from "../../desk.ts";
import type { Basis, BasisFrame } from "../basis.ts";
import { CannotLeave } from "../cannot-leave.ts";
import type { OutgoingFrame, OutgoingPicture } from "../form.ts";
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
  const camera = rules.metadata === "none" ? null : await cameraOf(tables, original);
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
    camera,
    reading: await derivativeOf(tables, "reading", frameId, isHidden),
    outline: await derivativeOf(tables, "outline", frameId, isHidden),
    measurement: await derivativeOf(tables, "measurement", frameId, isHidden),
    picture: () => madeOnce(making, frame, number, camera && { facts: camera, takenAt }),
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

type Camera = Extract<Parameters<PicturePool["run"]>[1], { areas: unknown }>["camera"];

/** Made when it is first asked for, then read from where the release waits. */
async function madeOnce(
  making: Making,
  frame: BasisFrame,
  number: number,
  camera: Camera,
): Promise<OutgoingPicture> {
  const { stage, scope, pool, desk } = making;
  const rules = SCOPE_RULES[scope];
  let facts: Omit<OutgoingPicture, "jpeg"> | null = null;
  const jpeg = await stage.once(`${number}.jpg`, async () => {
    const made = await pool.run(
      "outgoing-picture",
      {
        file: await desk.library.originals.localFile(frame.original),
        sha256: frame.original,
        maxSidePx: rules.maxSidePx,
        areas: rules.masksConfirmed ? (frame.mask?.mask.areas ?? null) : null,
        camera,
      },
      making.signal,
    );
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

const neverAgain = (): never => {
  throw new Error("a picture waits without its size");
};

function whyNot(made: OutgoingPictureAnswer): string | null {
  if (!made.made) return made.why;
  if (made.codes.length === 0) return null;
  return `A code can still be read in it after masking (${made.codes.length}): cover the label, and confirm the masks again`;
}
