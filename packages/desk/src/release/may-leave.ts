import { SCOPE_WORDS } from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { type Basis, basisOf } from "./basis.ts";
import type { ReleaseForm } from "./form.ts";
import { type Refusal, type ReleaseWanted, refusal } from "./wanted.ts";

/** What is asked before anything is made: of a release, and of whoever wants to know beforehand what would be refused. */
export async function mayLeave(
  { library }: Desk,
  actor: Actor,
  wanted: ReleaseWanted,
  form: Pick<ReleaseForm, "name" | "scopes">,
): Promise<{ readonly basis: Basis } | { readonly refusals: readonly Refusal[] }> {
  const asked = await basisOf(library.read, actor, wanted, library.clock().toISOString());
  if ("refusals" in asked || form.scopes.includes(wanted.scope)) return asked;
  return { refusals: [refusal(`${form.name} is no form for ${SCOPE_WORDS[wanted.scope]}`)] };
}

/** What would be refused if this were released now; empty: nothing. Nothing is made and nothing is written. */
export async function wouldBeRefused(
  desk: Desk,
  actor: Actor,
  wanted: ReleaseWanted,
  form: Pick<ReleaseForm, "name" | "scopes">,
): Promise<readonly Refusal[]> {
  const asked = await mayLeave(desk, actor, wanted, form);
  return "refusals" in asked ? asked.refusals : [];
}
