import { seenFrames } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";

/** Pictures of a request as a person names them: by id, or by the name on the card where only one has it. */
export async function framesNamed(
  { library }: Desk,
  actor: Actor,
  requestId: string,
  names: readonly string[],
): Promise<Outcome<readonly string[]>> {
  const rows = await library.read
    .selectFrom("frame")
    .select(["frame.id", "frame.name"])
    .where("frame.request_id", "=", requestId)
    .where(seenFrames(actor, library.clock().toISOString()))
    .execute();
  const ids: string[] = [];
  for (const name of names) {
    const found = rows.filter((row) => row.id === name || row.name === name);
    if (found.length !== 1) {
      const many = found.map(({ id }) => id).join(", ");
      const reason =
        found.length === 0
          ? `The request has no picture ${name}`
          : `${name} is the name of several pictures of the request: say ${many}`;
      return { done: false, reason };
    }
    ids.push(found[0]!.id);
  }
  return { done: true, value: [...new Set(ids)] };
}
