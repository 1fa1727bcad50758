import type { MaskProposals, PicturePool } from "@samescale/picture";
import { sha256Of } from "@samescale/record";
import type { Actor } from "../../act/actor.ts";
import { PHOTOGRAPHERS } from "../../act/actor.ts";
import { defineAct } from "../../act/define-act.ts";
import { jsonText } from "../../act/json.ts";
import type { Outcome } from "../../act/outcome.ts";
import type { Desk } from "../../desk.ts";
import { lookedAt } from "../../look/frames-of-visit.ts";

/** What a finder saw in one original, kept so that a person's answer can refer to it. */
export type KeptProposals = Omit<MaskProposals, "sha256" | "recipe"> & { readonly original: string };

export interface ProposedMask {
  readonly frameId: string;
  readonly name: string;
  /** Of the proposals: what a confirmation names. */
  readonly sha256: string;
  readonly proposals: KeptProposals;
}

/** Looks for what may have to be masked and keeps it. It covers nothing: a person confirms or dismisses each. */
export async function proposeMask(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  frameId: string,
  signal?: AbortSignal,
): Promise<Outcome<ProposedMask>> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return { done: false, reason: "Masks are for photographers" };
  const frame = await lookedAt(desk, actor, frameId);
  if (frame === null) return { done: false, reason: `There is no picture ${frameId}` };
  const file = await desk.library.originals.localFile(frame.sha256);
  const seen = await pool.run("propose-masks", { file }, signal);
  if (seen.sha256 !== frame.sha256)
    return { done: false, reason: `The original of ${frame.name} is damaged` };
  const kept = await keepProposals(desk, actor, { frameId, seen });
  return kept.done ? { done: true, value: { frameId, name: frame.name, ...kept.value } } : kept;
}

const keepProposals = defineAct<
  { readonly frameId: string; readonly seen: MaskProposals },
  Pick<ProposedMask, "sha256" | "proposals">
>({
  name: "mask.propose",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ frameId, seen }, { writing, now, newId }) {
    const { sha256: original, recipe, ...rest } = seen;
    const proposals: KeptProposals = { ...rest, original };
    const body = jsonText(proposals);
    const id = newId();
    const sha256 = sha256Of(body);
    await writing.insert("mask", {
      id,
      frame_id: frameId,
      request_id: null,
      recipe: jsonText(recipe),
      inputs: jsonText([original]),
      body,
      sha256,
      made_at: now,
    });
    const details = { original, areas: seen.areas.length, sha256 };
    return { value: { sha256, proposals }, deed: { act: "mask.propose", subject: `mask/${id}`, details } };
  },
});
