import { type Covered, consentFor, type UseWanted } from "@samescale/practice";
import type { Tables } from "../access/seeing.ts";
import { consentsFor } from "./answers-of.ts";
import { plainName } from "./plain-name.ts";

/** What somebody wants to do with one picture; the persons who must agree are read from the library. */
export type WantedUse = Omit<UseWanted, "persons">;

/**
 * Whether consent on record reaches as far as this use: the one question that everything that leaves has to ask, in its own
 * transaction. A picture that is not of this request is not covered by it.
 * @source GmcRecordings (23: no record of consent, no use)
 */
export async function consentForUse(tables: Tables, wanted: WantedUse): Promise<Covered> {
  if (wanted.frameId !== null) {
    const frame = await tables
      .selectFrom("frame")
      .select("request_id")
      .where("id", "=", wanted.frameId)
      .executeTakeFirst();
    if (frame?.request_id !== wanted.requestId) {
      return { covered: false, why: "The picture is not one of this request" };
    }
  }
  return consentAsOf(tables, wanted);
}

/** The same for a picture as it was filed when it left: where it lies now does not matter. */
export async function consentAsOf(tables: Tables, wanted: WantedUse): Promise<Covered> {
  const request = await tables
    .selectFrom("request")
    .select("patient_id")
    .where("id", "=", wanted.requestId)
    .executeTakeFirst();
  if (!request) return { covered: false, why: `There is no request ${wanted.requestId}` };
  const { patient_id: patientId } = request;
  const publication = wanted.publication === null ? null : plainName(wanted.publication);
  const answers = await consentsFor(tables, { patientId, requestId: wanted.requestId });
  if (patientId !== null) return consentFor(answers, { ...wanted, publication });
  const persons = await portrayedIn(tables, wanted.requestId, wanted.frameId);
  if (persons.length > 0) return consentFor(answers, { ...wanted, publication, persons });
  return {
    covered: false,
    why: "Nobody is named as portrayed: name who can be seen, or who answers for the room or the thing",
  };
}

/** Who can be seen in this picture, or in any of the request. */
async function portrayedIn(tables: Tables, requestId: string, frameId: string | null): Promise<string[]> {
  const rows = await tables
    .selectFrom("portrayed")
    .select(["name", "frames"])
    .where("request_id", "=", requestId)
    .where("void_because", "is", null)
    .orderBy("id")
    .execute();
  const seen = rows.filter(
    ({ frames }) => frames === null || frameId === null || (JSON.parse(frames) as string[]).includes(frameId),
  );
  return [...new Set(seen.map(({ name }) => name))];
}
