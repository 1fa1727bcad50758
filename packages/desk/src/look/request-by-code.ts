import { SamescaleError } from "@samescale/errors";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** A request as its code names it. */
export interface NamedRequest {
  readonly id: string;
  readonly code: string;
  readonly patientId: string | null;
}

/**
 * The request that a person names by its code. One that they may not know of is answered as one that is not there.
 * @throws SamescaleError REQUEST_UNKNOWN
 */
export async function requestByCode({ library }: Desk, actor: Actor, code: string): Promise<NamedRequest> {
  const row = await library.read
    .selectFrom("request")
    .select(["id", "code", "patient_id"])
    .where("code", "=", code)
    .where(seenRequests(actor, library.clock().toISOString()))
    .executeTakeFirst();
  if (row) return { id: row.id, code: row.code, patientId: row.patient_id };
  throw new SamescaleError(
    "REQUEST_UNKNOWN",
    `The library has no request ${JSON.stringify(code.slice(0, 60))}`,
    "Check the code on the shot card and the library that is meant.",
  );
}
