import {
  type Answered,
  CHILDS_WORDS,
  type ConsentQuestion,
  type ConsentsOfRequest,
  type ConsentTask,
  consentQuestions,
  consentsOf,
  consentTasks,
  doneOrThrow,
  giveConsent,
  namePortrayed,
  noteCapacityRegained,
  PHOTOGRAPHERS,
  refuseConsent,
  requestAsked,
  requestByCode,
  unnamePortrayed,
  type WentOut,
  withdrawConsent,
} from "@samescale/desk";
import { CONSENT_SCOPES, cautions, comesOfAgeOn } from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { codeParams, day, line } from "./fields.ts";

/** All that somebody who asks for consent has to have before them. */
export interface ConsentOfRequest extends ConsentsOfRequest {
  /** Who is asked for themselves; null: whoever is portrayed. */
  readonly patient: {
    readonly name: string;
    readonly birthDate: string | null;
    /** YYYY-MM-DD; null where the date of birth is not known. */
    readonly comesOfAgeOn: string | null;
    readonly isChild: boolean;
  } | null;
  readonly questions: readonly ConsentQuestion[];
  /** To be minded before anybody is asked. */
  readonly caution: string;
  /** What has to be asked again. */
  readonly tasks: readonly ConsentTask[];
}

export type ConsentAnswered = Answered;

export interface Withdrawn {
  readonly wentOut: readonly WentOut[];
}

const config = { may: PHOTOGRAPHERS };

const giver = z.discriminatedUnion("capacity", [
  z.strictObject({ capacity: z.literal("patient") }),
  z.strictObject({
    capacity: z.literal("parental-responsibility"),
    name: line(120),
    relation: line(80),
    child: z.enum(CHILDS_WORDS),
  }),
  z.strictObject({
    capacity: z.literal("best-interest"),
    name: line(120),
    policy: line(200),
    askAgainOn: day.nullable(),
  }),
  z.strictObject({ capacity: z.literal("legal-basis"), name: line(120), basis: line(200) }),
]);

const answerBody = z.strictObject({
  answer: z.enum(["given", "refused"]),
  scope: z.enum(CONSENT_SCOPES),
  by: giver,
  how: z.enum(["written", "spoken"]),
  person: line(120).optional(),
  publication: line(200).optional(),
  until: day.optional(),
  assessed: z.strictObject({ by: line(120), found: line(400) }).optional(),
  insteadOf: z.string().max(40).optional(),
});

/** Consent: asked, given, refused, withdrawn; who else is portrayed; whether somebody can decide again. */
export const consentRoutes: Area = (app, { desk, practice }) => {
  const params = codeParams;
  app.get(
    "/requests/:code/consent",
    { config, schema: { params } },
    async (request): Promise<ConsentOfRequest> => {
      const actor = who(request);
      const { id, code } = await requestByCode(desk, actor, request.params.code);
      const asked = (await requestAsked(desk, actor, code))!;
      const { consent: rules } = await practice();
      const today = desk.library.clock().toISOString().slice(0, 10);
      const tasks = doneOrThrow(await consentTasks(desk, actor, today, rules));
      const { birthDate } = asked;
      const ofAgeOn =
        birthDate === null ? null : comesOfAgeOn(birthDate, rules.ageOfMajority, rules.leapDayBirthday);
      return {
        ...doneOrThrow(await consentsOf(desk, actor, id)),
        patient: asked.patient && {
          name: asked.patient.name,
          birthDate,
          comesOfAgeOn: ofAgeOn,
          isChild: ofAgeOn !== null && ofAgeOn > today,
        },
        questions: consentQuestions(rules),
        caution: cautions.capacity,
        tasks: tasks.filter(
          (task) =>
            task.request === code ||
            (task.request === null && task.patient !== null && task.patient === asked.patient?.number),
        ),
      };
    },
  );

  app.post(
    "/requests/:code/consent",
    { config, schema: { params, body: answerBody } },
    async (request): Promise<ConsentAnswered> => {
      const actor = who(request);
      const { id: requestId } = await requestByCode(desk, actor, request.params.code);
      const { answer, person, publication, until, assessed, insteadOf, ...said } = request.body;
      const act = answer === "given" ? giveConsent : refuseConsent;
      const wanted = {
        ...said,
        of: { requestId, ...(person !== undefined && { person }) },
        rules: (await practice()).consent,
        ...(publication !== undefined && { publication }),
        ...(until !== undefined && { until }),
        ...(assessed !== undefined && { assessed }),
        ...(insteadOf !== undefined && { insteadOf }),
      };
      return doneOrThrow(await act(desk, actor, wanted));
    },
  );

  const withdrawal = z.strictObject({ by: line(120), because: line(400).optional() });
  app.post(
    "/requests/:code/consent/:id/withdraw",
    { config, schema: { params: params.extend({ id: z.string().max(40) }), body: withdrawal } },
    async (request): Promise<Withdrawn> => {
      const actor = who(request);
      await requestByCode(desk, actor, request.params.code);
      const { by, because } = request.body;
      const consentId = request.params.id;
      const wanted = { consentId, by, ...(because !== undefined && { because }) };
      return { wentOut: doneOrThrow(await withdrawConsent(desk, actor, wanted)).wentOut };
    },
  );

  app.post(
    "/requests/:code/portrayed",
    { config, schema: { params, body: z.strictObject({ name: line(120) }) } },
    async (request) => {
      const actor = who(request);
      const { id: requestId } = await requestByCode(desk, actor, request.params.code);
      return doneOrThrow(await namePortrayed(desk, actor, { requestId, name: request.body.name }));
    },
  );
  app.post(
    "/requests/:code/portrayed/:id/take-off",
    {
      config,
      schema: {
        params: params.extend({ id: z.string().max(40) }),
        body: z.strictObject({ because: line(400) }),
      },
    },
    async (request) => {
      const actor = who(request);
      await requestByCode(desk, actor, request.params.code);
      const { id } = request.params;
      doneOrThrow(await unnamePortrayed(desk, actor, { id, because: request.body.because }));
      return { done: true };
    },
  );

  const capacity = z.strictObject({ on: day, assessedBy: line(120), found: line(400) });
  app.post("/requests/:code/capacity", { config, schema: { params, body: capacity } }, async (request) => {
    const actor = who(request);
    const { patientId } = await requestByCode(desk, actor, request.params.code);
    const found = { patientId: patientId ?? "", ...request.body };
    return doneOrThrow(await noteCapacityRegained(desk, actor, found));
  });
};
