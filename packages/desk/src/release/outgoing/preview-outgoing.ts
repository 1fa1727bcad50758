import type { MaskArea, MetadataGroup, PicturePool } from "@samescale/picture";
import type { ConsentScope } from "@samescale/practice";
import { lookAt } from "../../access/look.ts";
import { type Actor, PHOTOGRAPHERS } from "../../act/actor.ts";
import type { Outcome } from "../../act/outcome.ts";
import type { Desk } from "../../desk.ts";
import { lookedAt } from "../../look/frames-of-visit.ts";
import { maskInForce } from "../masks/mask-in-force.ts";
import { deidentifies, SCOPE_RULES } from "../scope-rules.ts";
import { cameraIn, pictureInput, whyNot } from "./outgoing-frames.ts";

/** One picture as it would leave, and what lies beside its pixels before and after. */
export interface PreviewedPicture {
  readonly jpeg: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Share of it that masks cover. */
  readonly masked: number;
  /** Why it could not leave like this; null: nothing speaks against the picture itself. */
  readonly why: string | null;
  /** What the camera file holds beside its pixels. */
  readonly before: readonly MetadataGroup[];
  /** What the picture that leaves holds, read in the same way. */
  readonly after: readonly MetadataGroup[];
  /** In this scope the camera's own files go along, byte for byte, with all that `before` lists. */
  readonly originalsGoAlong: boolean;
}

/** Enough to see what is covered; what leaves may be larger. */
const SHOWN_SIDE_PX = 1600;

/**
 * Makes a picture as it would leave in this scope, for the person who decides: nothing is kept and nothing leaves.
 * @param areas as drawn just now; null: those that are confirmed
 */
export async function previewOutgoing(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  wanted: {
    readonly frameId: string;
    readonly scope: ConsentScope;
    readonly areas: readonly MaskArea[] | null;
  },
  signal?: AbortSignal,
): Promise<Outcome<PreviewedPicture>> {
  const { frameId, scope } = wanted;
  if (!PHOTOGRAPHERS.includes(actor.role))
    return { done: false, reason: "What leaves is for photographers to see" };
  const frame = await lookedAt(desk, actor, frameId);
  if (frame === null || !(await lookAt(desk, actor, frame.sha256)))
    return { done: false, reason: `There is no picture ${frameId}` };
  const { read, originals } = desk.library;
  const rules = SCOPE_RULES[scope];
  const confirmed = rules.masksConfirmed ? await maskInForce(read, frameId, frame.sha256) : null;
  const camera = await cameraIn(read, scope, { original: frame.sha256, takenAt: frame.takenAt });
  // Where nobody has looked yet nothing is covered, and codes that can be read are still looked for.
  const areas = wanted.areas ?? confirmed?.mask.areas ?? [];
  const input = await pictureInput(desk, scope, { original: frame.sha256, areas, camera });
  const maxSidePx = Math.min(SHOWN_SIDE_PX, input.maxSidePx ?? SHOWN_SIDE_PX);
  const made = await pool.run("outgoing-picture", { ...input, maxSidePx }, signal);
  if (!made.made) return { done: false, reason: made.why };
  const { jpeg, widthPx, heightPx, masked } = made;
  return {
    done: true,
    value: {
      jpeg,
      widthPx,
      heightPx,
      masked,
      why: deidentifies(rules) ? whyNot(made) : null,
      before: await pool.run("metadata", { of: await originals.localFile(frame.sha256) }, signal),
      after: await pool.run("metadata", { of: jpeg }, signal),
      originalsGoAlong: rules.sidecars,
    },
  };
}
