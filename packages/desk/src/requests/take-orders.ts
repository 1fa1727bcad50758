import { open } from "node:fs/promises";
import { reportOf } from "@samescale/errors";
import { ordersOfFile } from "@samescale/exchange";
import type { Practice } from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { type TakenOrder, takeOrder } from "./take-order.ts";

/** What became of one order of a file. */
export type OrderLine = { readonly file: string } & (
  | ({ readonly order: string } & TakenOrder)
  | { readonly order: string | null; readonly state: "refused"; readonly reason: string }
  | { readonly error: ReturnType<typeof reportOf> }
);

/** More than any day's orders. */
const MOST_BYTES = 60_000_000;

/**
 * Takes the orders of files in. Files are only read; a file taken in again changes nothing. One line for each order.
 */
export async function* takeOrders(
  desk: Desk,
  actor: Actor,
  files: readonly string[],
  practice: Practice,
): AsyncGenerator<OrderLine> {
  const authorityOf = authoritiesOf(practice);
  for (const file of files) {
    try {
      for (const read of ordersOfFile(await bytesOf(file))) {
        if ("fault" in read) {
          yield { file, order: null, state: "refused", reason: read.fault };
          continue;
        }
        const order = read.order.identifier.value;
        const taken = await takeOrder(desk, actor, { order: read.order, authorityOf });
        yield taken.done
          ? { file, order, ...taken.value }
          : { file, order, state: "refused", reason: taken.reason };
      }
    } catch (thrown) {
      yield { file, error: reportOf(thrown, file) };
    }
  }
}

/** Several systems name one authority differently; the practice says which are the same. */
function authoritiesOf({ authorities }: Practice): (said: string) => string {
  const names = new Map(authorities.flatMap(({ name, also }) => [name, ...also].map((each) => [each, name])));
  return (said) => names.get(said) ?? said;
}

async function bytesOf(file: string): Promise<Uint8Array> {
  const handle = await open(file, "r");
  try {
    const { size } = await handle.stat();
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(Math.min(size + 1, MOST_BYTES)));
    return buffer.subarray(0, bytesRead);
  } finally {
    await handle.close();
  }
}
