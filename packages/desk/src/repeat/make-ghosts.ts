import { createHash } from "node:crypto";
import { resolve } from "node:path";
import { type GhostAnswer, mustNotExist, type PicturePool, placeFolder } from "@samescale/picture";
import type { Practice, RepeatedView } from "@samescale/practice";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import type { FrameThen } from "./judged-frames.ts";
import type { Repeat } from "./repeat-request.ts";

/** Two pictures of one view, by name of file in the folder. */
export interface GhostFiles {
  /** Half transparent, to lie over the live picture. */
  readonly ghost: string;
  /** Opaque, with thirds and the scale's place. */
  readonly framing: string;
}

interface GhostsMade {
  readonly requestId: string;
  readonly folder: string;
  readonly pictures: readonly { readonly file: string; readonly sha256: string; readonly from: string }[];
}

/** They show the patient and lie outside the library: who made them, from what and where is on record. */
const logGhosts = defineAct<GhostsMade, null>({
  name: "ghosts.make",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, folder, pictures }) {
    const deed = { act: "ghosts.make", subject: `request/${requestId}`, details: { folder, pictures } };
    return { value: null, deed };
  },
});

/**
 * Writes ghost and framing of every view that repeats a picture into a new folder, together with the recipe that made
 * them; complete or not at all. The log is written first, as for everything that leaves the library.
 * @returns files by key of the view
 * @throws SamescaleError PICTURES_EXIST, and those of decoding
 */
export async function makeGhosts(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  wanted: {
    readonly requestId: string;
    readonly repeat: Repeat;
    readonly practice: Practice;
    readonly folder: string;
  },
  signal?: AbortSignal,
): Promise<Outcome<ReadonlyMap<string, GhostFiles>>> {
  const { requestId, repeat, practice, folder } = wanted;
  await mustNotExist(folder);
  const drawn = await drawGhosts(desk, pool, repeat, practice, signal);
  if (!drawn.done) return drawn;
  const made = drawn.value;
  const files = made.flatMap(({ key, ghost, from }) => [
    { name: `${key}-ghost.png`, content: Buffer.from(ghost.png), from, ghost },
    { name: `${key}-framing.jpg`, content: Buffer.from(ghost.thumbnail), from, ghost },
  ]);
  const pictures = files.map(({ name, content, from }) => ({ file: name, sha256: sha256(content), from }));
  const recipe = files.map(({ name, content, from, ghost }) => ({
    file: name,
    sha256: sha256(content),
    from: [from],
    baselineToGhost: ghost.baselineToGhost,
    recipe: ghost.recipe,
  }));
  const logged = await logGhosts(desk, actor, { requestId, folder: resolve(folder), pictures });
  if (!logged.done) return logged;
  await placeFolder(folder, [
    ...files,
    { name: "recipe.json", content: Buffer.from(`${JSON.stringify({ pictures: recipe }, null, 2)}\n`) },
  ]);
  return {
    done: true,
    value: new Map(
      made.map(({ key }) => [key, { ghost: `${key}-ghost.png`, framing: `${key}-framing.jpg` }]),
    ),
  };
}

/** Ghost and framing of every view that repeats a picture; nothing is kept or logged. */
export async function drawGhosts(
  desk: Desk,
  pool: PicturePool,
  repeat: Repeat,
  practice: Practice,
  signal?: AbortSignal,
): Promise<Outcome<readonly DrawnGhost[]>> {
  const pixels = practice.kit.bodies.find(({ id }) => id === repeat.plan.body.id)?.pixels;
  if (!pixels) return { done: false, reason: `The kit has no body ${repeat.plan.body.id} any more` };
  const longPx = Math.max(pixels.widthMm, pixels.heightMm);
  const shortPx = Math.min(pixels.widthMm, pixels.heightMm);
  const made = await Promise.all(
    repeat.plan.views.flatMap((view) => {
      const then = repeat.frames.get(view.view.key);
      return then && view.repeats ? [ghostOf(desk, pool, view, then, { longPx, shortPx }, signal)] : [];
    }),
  );
  return made.length === 0
    ? { done: false, reason: "No view repeats a picture: there is no ghost to draw" }
    : { done: true, value: made };
}

const sha256 = (bytes: Buffer): string => createHash("sha256").update(bytes).digest("hex");

export interface DrawnGhost {
  /** Of the view. */
  readonly key: string;
  readonly ghost: GhostAnswer;
  /** Original that it was drawn from. */
  readonly from: string;
}

async function ghostOf(
  desk: Desk,
  pool: PicturePool,
  planned: RepeatedView,
  then: FrameThen,
  { longPx, shortPx }: { readonly longPx: number; readonly shortPx: number },
  signal?: AbortSignal,
): Promise<DrawnGhost> {
  const { frame, scale, date } = then;
  const { view, repeats, fieldMm, barrel } = planned;
  const { fieldLongMm } = repeats!.reached;
  const isWide = view.orientation === "landscape";
  const ghost = await pool.run(
    "ghost",
    {
      file: await desk.library.originals.localFile(frame.sha256),
      pxPerMm: Math.max(scale.widthPx, scale.heightPx) / fieldLongMm.value,
      next: {
        widthPx: isWide ? longPx : shortPx,
        heightPx: isWide ? shortPx : longPx,
        pxPerMm: longPx / Math.max(fieldMm.width, fieldMm.height),
      },
      turnOver: wasInMirror(then) !== view.mirrored,
      scale,
      title: `${view.name}, as framed on ${date ?? "an unknown day"}`,
      notes: [
        ...(view.landmarks.length > 0 ? [`${view.landmarks.join("; ")}.`] : []),
        ...(view.mirrored
          ? ["Through a mirror: left and right are changed over, as the camera sees it."]
          : []),
        `${barrel} The frame is ${Math.round(fieldMm.width)} × ${Math.round(fieldMm.height)} mm.`,
      ],
    },
    signal,
  );
  return { key: view.key, ghost, from: frame.sha256 };
}

/** Numerals the wrong way round tell of a mirror; without them the plan of then does. */
function wasInMirror({ scale, planned }: FrameThen): boolean {
  const read = scale.found && "mirrored" in scale && scale.mirrored === true;
  return read || planned.view.mirrored;
}
