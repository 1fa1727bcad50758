import {
  addRequest,
  cancelRequest,
  changeRequest,
  closeRequest,
  doneOrThrow,
  find,
  type ListedRequest,
  listRequests,
  type PatientStanding,
  PHOTOGRAPHERS,
  PRIORITIES,
  patientStanding,
  type RequestEntry,
  ROLES,
  reopenRequest,
  requestAsked,
  requestByCode,
  requestHistory,
  requestsOfCodes,
  SENSITIVE_CATEGORIES,
  type WholeRequest,
} from "@samescale/desk";
import {
  CONSENT_SCOPES,
  type ConsentScope,
  REQUEST_CAUTION_WORDS,
  REQUEST_CAUTIONS,
  SCOPE_WORDS,
} from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { because, changeBody, codeParams, newRequest, patientSaid } from "./fields.ts";

export type WholeRequestAnswer = WholeRequest;
export type RequestHistoryAnswer = readonly RequestEntry[];
export type PatientStandingAnswer = PatientStanding;

/** What a form for a request has to offer. */
export interface RequestForm {
  /** Who gives patients their numbers. */
  readonly authorities: readonly string[];
  /** How the department writes its patients' numbers: name and pattern. */
  readonly numberFormats: readonly { readonly name: string; readonly pattern: string }[];
  readonly priorities: readonly (typeof PRIORITIES)[number][];
  readonly sensitive: readonly (typeof SENSITIVE_CATEGORIES)[number][];
  readonly cautions: readonly {
    readonly kind: (typeof REQUEST_CAUTIONS)[number];
    readonly words: string;
  }[];
  readonly scopes: readonly { readonly scope: ConsentScope; readonly words: string }[];
}

export interface FoundRequests {
  readonly requests: readonly ListedRequest[];
  /** There are more than are shown: search with more words. */
  readonly more: boolean;
}

const ASKERS = [...PHOTOGRAPHERS, "requester"] as const;
const anybody = { may: ROLES };
const photographers = { may: PHOTOGRAPHERS };
const MOST_FOUND = 200;

/** Requests as they are asked for: listed, taken by hand, changed, ended. */
export const askingRoutes: Area = (app, { desk, practice }) => {
  const query = z.object({
    state: z.enum(["open", "done", "cancelled"]).default("open"),
    text: z.string().trim().max(200).default(""),
  });
  app.get(
    "/requests",
    { config: anybody, schema: { querystring: query } },
    async (request): Promise<FoundRequests> => {
      const { state, text } = request.query;
      const actor = who(request);
      if (text === "") return { requests: await listRequests(desk, actor, state), more: false };
      const wanted = { kind: "request", text, facets: {}, from: null, until: null, after: null } as const;
      const { rows, next } = await find(desk, actor, { ...wanted, limit: MOST_FOUND });
      const codes = rows.map(({ name }) => name);
      const found = await requestsOfCodes(desk, actor, codes);
      const requests = found
        .filter((one) => one.state === state)
        .toSorted((a, b) => codes.indexOf(a.code) - codes.indexOf(b.code));
      return { requests, more: next !== null };
    },
  );

  app.get("/requests/form", { config: { may: ASKERS } }, async (): Promise<RequestForm> => {
    const { authorities, patientNumberFormats } = await practice();
    return {
      authorities: authorities.map(({ name }) => name),
      numberFormats: patientNumberFormats.map(({ name, pattern }) => ({ name, pattern })),
      priorities: PRIORITIES,
      sensitive: SENSITIVE_CATEGORIES,
      cautions: REQUEST_CAUTIONS.map((kind) => ({ kind, words: REQUEST_CAUTION_WORDS[kind] })),
      scopes: CONSENT_SCOPES.map((scope) => ({ scope, words: SCOPE_WORDS[scope] })),
    };
  });

  // Sent as a body: a patient's number stands in no address.
  app.post(
    "/requests/patient",
    { config: { may: ASKERS }, schema: { body: patientSaid } },
    async (request): Promise<PatientStandingAnswer> =>
      patientStanding(desk, who(request), request.body, await practice()),
  );

  app.post(
    "/requests",
    { config: { may: ASKERS }, schema: { body: newRequest } },
    async (request): Promise<{ readonly code: string }> => {
      const { patient } = request.body;
      const kind = patient === null ? "non-clinical" : "clinical";
      const asked = { ...request.body, patientId: null, kind } as const;
      const { code } = doneOrThrow(await addRequest(desk, who(request), asked));
      return { code };
    },
  );

  const whole = async (actor: ReturnType<typeof who>, code: string): Promise<WholeRequestAnswer> => {
    await requestByCode(desk, actor, code); // says what is wrong with the code
    return (await requestAsked(desk, actor, code))!;
  };

  app.get("/requests/:code", { config: anybody, schema: { params: codeParams } }, async (request) =>
    whole(who(request), request.params.code),
  );

  app.patch(
    "/requests/:code",
    { config: photographers, schema: { params: codeParams, body: changeBody } },
    async (request): Promise<WholeRequestAnswer> => {
      const actor = who(request);
      const { code } = request.params;
      const { id: requestId } = await requestByCode(desk, actor, code);
      const { since, details, dueDate, priority } = request.body;
      const change = {
        requestId,
        since,
        details,
        ...(dueDate !== undefined && { dueDate }),
        ...(priority !== undefined && { priority }),
      };
      doneOrThrow(await changeRequest(desk, actor, change));
      return whole(actor, code);
    },
  );

  const ends = { cancel: cancelRequest, close: closeRequest, reopen: reopenRequest } as const;
  const params = codeParams.extend({ end: z.enum(["cancel", "close", "reopen"]) });
  app.post(
    "/requests/:code/end/:end",
    { config: photographers, schema: { params, body: because } },
    async (request): Promise<WholeRequestAnswer> => {
      const actor = who(request);
      const { code, end } = request.params;
      const { id: requestId } = await requestByCode(desk, actor, code);
      doneOrThrow(await ends[end](desk, actor, { requestId, because: request.body.because }));
      return whole(actor, code);
    },
  );

  app.get(
    "/requests/:code/history",
    { config: { may: [...PHOTOGRAPHERS, "auditor"] }, schema: { params: codeParams } },
    async (request): Promise<RequestHistoryAnswer> => {
      const { id } = await requestByCode(desk, who(request), request.params.code);
      return requestHistory(desk, who(request), id);
    },
  );
};
