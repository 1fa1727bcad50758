import {
  consentsOf,
  type Desk,
  doneOrThrow,
  MASK_QUESTIONS,
  PHOTOGRAPHERS,
  type PictureOfRequest,
  picturesForm,
  picturesOfRequest,
  RELEASE_FORMS,
  type Refusal,
  type RequestWithPictures,
  requestAsked,
  requestByCode,
  requestsWithPictures,
  researchProjects,
  SCOPE_RULES,
  sayRules,
  wouldBeRefused,
} from "@samescale/desk";
import { MASK_KINDS } from "@samescale/picture";
import { CONSENT_SCOPES, type ConsentScope, cautions, isPublication, SCOPE_WORDS } from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { byCode, formNamed, scope, wantedBody, wantedOf } from "./fields.ts";

export type { PictureOfRequest, Refusal, RequestWithPictures };

/** One thing that pictures can be let out for, and what that means for them. */
export interface ReleaseUse {
  readonly scope: ConsentScope;
  readonly words: string;
  readonly rules: readonly string[];
  readonly masksConfirmed: boolean;
  readonly namesPublication: boolean;
  readonly maxSidePx: number | null;
  readonly forms: readonly string[];
}

/** A request with everything that can be chosen for a release of it. */
export interface ReleaseChoices {
  readonly code: string;
  readonly title: string;
  readonly kind: "clinical" | "non-clinical";
  readonly patient: { readonly number: string; readonly name: string } | null;
  readonly sensitive: readonly string[];
  readonly pictures: readonly PictureOfRequest[];
  readonly uses: readonly ReleaseUse[];
  /** Named in some answer. */
  readonly publications: readonly string[];
  readonly projects: readonly string[];
  readonly questions: readonly { readonly kind: string; readonly asks: string }[];
  readonly kinds: readonly string[];
  readonly cautions: readonly string[];
}

/** How far a use reaches now, over all pictures of the request. */
export interface Reach {
  readonly scope: ConsentScope;
  readonly publication: string | null;
  readonly of: number;
  /** So many of them could leave. */
  readonly may: number;
  /** Every reason against it, once, with how many pictures it concerns; 0: the release as a whole. */
  readonly whys: readonly { readonly why: string; readonly pictures: number }[];
}

/** While nobody has said yet who receives it: what is asked then is about the pictures. */
const NOT_SAID = "not said yet";

/** What can be chosen, and at every step what consent allows and why not: asked of the desk each time. */
export const chooseRoutes: Area = (app, { desk }) => {
  const config = { may: PHOTOGRAPHERS };

  app.get(
    "/release/requests",
    { config },
    async (request): Promise<readonly RequestWithPictures[]> => requestsWithPictures(desk, who(request)),
  );

  app.get(
    "/release/requests/:code",
    { config, schema: { params: byCode } },
    async (request): Promise<ReleaseChoices> => {
      const actor = who(request);
      const { id: requestId, code } = await requestByCode(desk, actor, request.params.code);
      const asked = (await requestAsked(desk, actor, code))!;
      const { answers } = doneOrThrow(await consentsOf(desk, actor, requestId));
      const named = answers.flatMap(({ publication }) => publication ?? []);
      const { title, kind, patient, sensitive } = asked;
      return {
        code,
        title,
        kind,
        patient,
        sensitive,
        pictures: await picturesOfRequest(desk, actor, requestId),
        uses: CONSENT_SCOPES.map(useOf),
        publications: [...new Set(named)],
        projects: (await researchProjects(desk, actor)).map(({ name }) => name),
        questions: Object.entries(MASK_QUESTIONS).map(([kindOf, asks]) => ({ kind: kindOf, asks })),
        kinds: MASK_KINDS,
        cautions: [cautions["eyes-covered"]],
      };
    },
  );

  app.get(
    "/release/requests/:code/uses",
    { config, schema: { params: byCode } },
    async (request): Promise<readonly Reach[]> => {
      const actor = who(request);
      const { id: requestId } = await requestByCode(desk, actor, request.params.code);
      const frames = (await picturesOfRequest(desk, actor, requestId)).map(({ frameId }) => frameId);
      const { answers } = doneOrThrow(await consentsOf(desk, actor, requestId));
      const [project = null] = (await researchProjects(desk, actor)).map(({ name }) => name);
      const reaches: Reach[] = [];
      for (const each of CONSENT_SCOPES) {
        const named = answers.flatMap((answer) =>
          answer.scope === each && answer.publication !== null ? [answer.publication] : [],
        );
        for (const publication of isPublication(each) && named.length > 0 ? new Set(named) : [null]) {
          const more = { publication, project: each === "research" ? project : null };
          const refusals = await refusalsOf(desk, actor, { requestId, frames, scope: each, ...more });
          reaches.push(reachOf(each, publication, frames.length, refusals));
        }
      }
      return reaches;
    },
  );

  app.get(
    "/release/requests/:code/reach",
    {
      config,
      schema: {
        params: byCode,
        querystring: z.object({
          scope,
          publication: z.string().max(400).optional(),
          project: z.string().max(200).optional(),
        }),
      },
    },
    async (request): Promise<readonly Refusal[]> => {
      const actor = who(request);
      const { id: requestId } = await requestByCode(desk, actor, request.params.code);
      const frames = (await picturesOfRequest(desk, actor, requestId)).map(({ frameId }) => frameId);
      const { publication = null, project = null, scope: wanted } = request.query;
      return refusalsOf(desk, actor, { requestId, frames, scope: wanted, publication, project });
    },
  );

  app.post(
    "/release/requests/:code/refusals",
    { config, schema: { params: byCode, body: wantedBody } },
    async (request): Promise<readonly Refusal[]> => {
      const actor = who(request);
      const { id: requestId } = await requestByCode(desk, actor, request.params.code);
      const { body } = request;
      return wouldBeRefused(desk, actor, wantedOf(requestId, body), formNamed(body.form));
    },
  );
};

const useOf = (each: ConsentScope): ReleaseUse => {
  const rules = SCOPE_RULES[each];
  return {
    scope: each,
    words: SCOPE_WORDS[each],
    rules: sayRules(rules),
    masksConfirmed: rules.masksConfirmed,
    namesPublication: isPublication(each),
    maxSidePx: rules.maxSidePx,
    forms: RELEASE_FORMS.filter(({ scopes }) => scopes.includes(each)).map(({ name }) => name),
  };
};

type Asked = Pick<
  Parameters<typeof wouldBeRefused>[2],
  "requestId" | "frames" | "scope" | "publication" | "project"
>;

const refusalsOf = (desk: Desk, actor: Parameters<typeof wouldBeRefused>[1], asked: Asked) =>
  wouldBeRefused(
    desk,
    actor,
    { ...asked, to: NOT_SAID, purpose: NOT_SAID },
    // Which form it gets is said later: here every use has one.
    RELEASE_FORMS.find(({ scopes }) => scopes.includes(asked.scope)) ?? picturesForm,
  );

function reachOf(
  each: ConsentScope,
  publication: string | null,
  of: number,
  refusals: readonly Refusal[],
): Reach {
  const whys = Map.groupBy(refusals, ({ why }) => why);
  const refused = new Set(refusals.flatMap(({ frameId }) => frameId ?? []));
  const isWhole = refusals.some(({ frameId }) => frameId === null);
  return {
    scope: each,
    publication,
    of,
    may: isWhole ? 0 : of - refused.size,
    whys: [...whys].map(([why, found]) => ({
      why,
      pictures: found.filter(({ frameId }) => frameId !== null).length,
    })),
  };
}
