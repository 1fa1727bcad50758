import { SamescaleError } from "@samescale/errors";

/** An act was done, or refused for a reason in words. */
export type Outcome<Value> =
  | { readonly done: true; readonly value: Value }
  | { readonly done: false; readonly reason: string };

/**
 * For callers to whom a refusal is a fault.
 * @throws SamescaleError ACT_REFUSED
 */
export function doneOrThrow<Value>(outcome: Outcome<Value>): Value {
  if (outcome.done) return outcome.value;
  throw new SamescaleError(
    "ACT_REFUSED",
    outcome.reason,
    "Nothing was changed. Put right what is named, then try again.",
  );
}
