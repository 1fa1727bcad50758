import type { Deed, Writing } from "@samescale/record";
import type { Desk } from "../desk.ts";
import { whyNotThem } from "../people/standing.ts";
import { type Actor, actorText, type Role } from "./actor.ts";
import type { Outcome } from "./outcome.ts";

/** What an act may use. `tables` and `writing` belong to its transaction; nothing else of the library is in reach. */
export interface ActContext {
  readonly writing: Writing;
  readonly tables: Writing["tables"];
  readonly actor: Actor;
  /** ISO 8601 in UTC, the same for all rows of the act. */
  readonly now: string;
  readonly newId: () => string;
}

/** What `run` answers: done and what the log shall tell, or refused before anything was written. */
export type Ran<Value> = { readonly value: Value; readonly deed: Deed | null } | { readonly refused: string };

export interface ActDefinition<Input, Value> {
  /** As the log names it: `patient.add`. */
  readonly name: string;
  readonly may: readonly Role[];
  /**
   * Acts that let something out of the department ask here, in the same transaction; a sentence refuses. The
   * others say that nothing leaves: forgetting to think of it does not compile.
   */
  readonly consent: "nothing leaves" | ((input: Input, context: ActContext) => Promise<string | null>);
  run(input: Input, context: ActContext): Promise<Ran<Value>>;
}

export type Act<Input, Value> = (desk: Desk, actor: Actor, input: Input) => Promise<Outcome<Value>>;

/** Every act by its name and who may do it, as their modules define them: the table of rights is held against it. */
const defined = new Map<string, readonly Role[]>();
export const definedActs: ReadonlyMap<string, readonly Role[]> = defined;

/** The one place where *who may → consent → do → log* happens, in one transaction. */
export function defineAct<Input, Value>(definition: ActDefinition<Input, Value>): Act<Input, Value> {
  defined.set(definition.name, definition.may);
  return async ({ library }, actor, input) => {
    if (!definition.may.includes(actor.role)) {
      return { done: false, reason: `${definition.name}: not for the role ${actor.role}` };
    }
    return library.write<Outcome<Value>>(actorText(actor), async (writing) => {
      const now = library.clock().toISOString();
      const context = { writing, tables: writing.tables, actor, now, newId: library.newId };
      const { consent } = definition;
      const reason =
        (await whyNotThem(writing.tables, actor)) ??
        (consent === "nothing leaves" ? null : await consent(input, context));
      if (reason !== null) return { value: { done: false, reason }, deed: null };
      const ran = await definition.run(input, context);
      if ("refused" in ran) return { value: { done: false, reason: ran.refused }, deed: null };
      return { value: { done: true, value: ran.value }, deed: ran.deed };
    });
  };
}
