import type { Actor } from "../../act/actor.ts";
import { consentsFor } from "../../consent/answers-of.ts";
import type { FormContext, OutgoingPatient, OutgoingRequest } from "../form.ts";
import { pseudonymOf } from "../research-project.ts";
import { deidentifies, SCOPE_RULES } from "../scope-rules.ts";
import type { ReleaseWanted } from "../wanted.ts";
import { type Making, outgoingFrames } from "./outgoing-frames.ts";

/** All that a form may show, and nothing else. */
export async function formContext(
  wanted: ReleaseWanted,
  actor: Actor,
  now: string,
  making: Omit<Making, "daysEarlier" | "scope">,
): Promise<FormContext> {
  const { desk, basis, mark, stage } = making;
  const { scope } = wanted;
  const rules = SCOPE_RULES[scope];
  const isHidden = deidentifies(rules);
  const tables = desk.library.read;
  const { patientId, project, request } = basis;
  const standsAs = project && patientId !== null ? pseudonymOf(project, patientId) : null;
  const answers = await consentsFor(tables, { patientId, requestId: request.id });
  return {
    releaseId: stage.releaseId,
    mark,
    scope,
    rules,
    to: wanted.to,
    purpose: wanted.purpose,
    publication: wanted.publication ?? null,
    expiresOn: basis.expiresOn,
    patient: isHidden || patientId === null ? null : await patientOf(making, patientId),
    pseudonym: standsAs?.code ?? null,
    request: outgoingRequest(request, isHidden),
    frames: await outgoingFrames({ ...making, scope, daysEarlier: standsAs?.daysEarlier ?? null }),
    consents: answers.filter(({ id }) => basis.consentIds.includes(id)),
    evidence: scope === "evidence" ? desk.library : null,
    now,
    actor,
  };
}

async function patientOf({ desk }: Pick<Making, "desk">, id: string): Promise<OutgoingPatient> {
  const {
    birth_date: birthDate,
    details,
    ...patient
  } = await desk.library.read
    .selectFrom("patient")
    .select(["id", "number", "authority", "name", "birth_date", "details"])
    .where("id", "=", id)
    .executeTakeFirstOrThrow();
  const { familyName, givenName } = JSON.parse(details) as { familyName?: unknown; givenName?: unknown };
  return {
    ...patient,
    birthDate,
    ...(typeof familyName === "string" && familyName !== "" && { family: familyName }),
    ...(typeof givenName === "string" && givenName !== "" && { given: givenName }),
  };
}

interface Details {
  readonly title?: string;
  readonly parts?: readonly { readonly part: string; readonly side?: string }[];
}

/** Titles are free text, and so are parts: they may name somebody. */
function outgoingRequest(
  { id, code, kind, details }: Making["basis"]["request"],
  isHidden: boolean,
): OutgoingRequest {
  if (isHidden) return { id: null, code: null, title: null, kind, parts: [] };
  const { title = null, parts = [] } = JSON.parse(details) as Details;
  return { id, code, title, kind, parts: parts.map(({ part, side = "none" }) => ({ part, side })) };
}
