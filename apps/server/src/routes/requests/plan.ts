import {
  doneOrThrow,
  lastPhotographed,
  PHOTOGRAPHERS,
  planOfRequest,
  planRequest,
  type Repeat,
  ROLES,
  repeatRequest,
  requestByCode,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { formatRatio } from "@samescale/optics";
import {
  itemsOf,
  type Plan,
  type PlannedView,
  type PlanWishes,
  planViews,
  type RefusedView,
  type RepeatedView,
  type RepeatPlan,
  sayDistance,
  type ViewFigure,
  type ViewSet,
  viewFigure,
  whyUnusable,
} from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { codeParams, day, line } from "./fields.ts";

/** A planned view with its drawing and its two chief numbers in words. */
export interface ShownView extends PlannedView {
  readonly figure: ViewFigure;
  /** 1:4 */
  readonly ratio: string;
  /** 41 cm, from the front of the lens where it was measured. */
  readonly distance: string;
  readonly isMeasured: boolean;
  /** Of a follow-up: what it repeats. */
  readonly repeats: RepeatedView["repeats"];
}

/** A plan as the page shows it. */
export interface ShownPlan extends Omit<Plan, "views"> {
  readonly views: readonly ShownView[];
  readonly refused: readonly RefusedView[];
  /** Of a follow-up: which visit rules, which body, and why. */
  readonly repeatsSays: readonly string[];
}

export interface PlanAnswer {
  /** The plan that was kept last; null: none yet. */
  readonly plan: ShownPlan | null;
  /** The last day on which pictures were made: a next visit can be planned from them. */
  readonly photographedOn: string | null;
}

export interface PlanChoices {
  readonly viewSets: readonly {
    readonly key: string;
    readonly name: string;
    readonly version: number;
    readonly purpose: ViewSet["purpose"];
    readonly views: readonly string[];
    /** Made of either side: the plan says which. */
    readonly needsSide: boolean;
  }[];
  readonly places: readonly { readonly key: string; readonly name: string; readonly freeMm: number }[];
  readonly bodies: readonly KitChoice[];
  readonly lenses: readonly KitChoice[];
}

export interface KitChoice {
  readonly id: string;
  readonly name: string;
  /** Why it cannot be used; null: it can. */
  readonly unusable: string | null;
}

/** What a follow-up's planning ends with. */
export interface RepeatedPlan {
  readonly plan: ShownPlan;
  readonly notes: readonly string[];
  /** Original whose picture each view repeats, by key of the view. */
  readonly baselines: Readonly<Record<string, { readonly frameId: string; readonly sha256: string }>>;
}

const config = { may: PHOTOGRAPHERS };
const wishes = z.strictObject({
  place: line(40).optional(),
  freeMm: z.number().min(100).max(1e6).optional(),
  side: z.enum(["left", "right"]).optional(),
  body: line(40).optional(),
  lens: line(40).optional(),
});
const planBody = z.strictObject({ viewSet: line(40), wishes: wishes.default({}) });

/** Planning: what can be planned, what a plan would say, the plan that is kept, the next visit's. */
export const planRoutes: Area = (app, { desk, pool, jobs, practice }) => {
  app.get("/plan-choices", { config }, async (): Promise<PlanChoices> => {
    const { viewSets, places, kit } = await practice();
    const choice = (item: Parameters<typeof whyUnusable>[0]): KitChoice => ({
      id: item.id,
      name: item.name,
      unusable: whyUnusable(item),
    });
    const inGroup = (name: string) =>
      itemsOf(kit)
        .filter(({ group }) => group === name)
        .map(({ item }) => choice(item));
    return {
      viewSets: viewSets.map(({ key, name, version, purpose, views }) => ({
        key,
        name,
        version,
        purpose,
        views: views.map((view) => view.name),
        needsSide: views.some(({ side }) => side === "either"),
      })),
      places,
      bodies: inGroup("bodies"),
      lenses: inGroup("lenses"),
    };
  });

  app.get(
    "/requests/:code/plan",
    { config: { may: ROLES }, schema: { params: codeParams } },
    async (request): Promise<PlanAnswer> => {
      const { id } = await requestByCode(desk, who(request), request.params.code);
      const plan = await planOfRequest(desk, who(request), id);
      const photographedOn = await lastPhotographed(desk, who(request), id);
      return { plan: plan && shown(plan), photographedOn };
    },
  );

  app.post(
    "/requests/:code/plan/try",
    { config, schema: { params: codeParams, body: planBody } },
    async (request): Promise<ShownPlan> => {
      await requestByCode(desk, who(request), request.params.code);
      const now = await practice();
      const set = now.viewSets.find(({ key }) => key === request.body.viewSet);
      if (set) return shown(planViews(set, now, wishesOf(request.body.wishes)));
      throw new SamescaleError(
        "PLAN_WISHES",
        `The practice has no view set ${request.body.viewSet}`,
        "Choose one that it has.",
      );
    },
  );

  app.post(
    "/requests/:code/plan",
    { config, schema: { params: codeParams, body: planBody } },
    async (request): Promise<ShownPlan> => {
      const actor = who(request);
      const { id: requestId } = await requestByCode(desk, actor, request.params.code);
      const { viewSet: viewSetKey, wishes: said } = request.body;
      const wanted = { requestId, viewSetKey, wishes: wishesOf(said) };
      return shown(doneOrThrow(await planRequest(desk, actor, wanted, await practice())));
    },
  );

  const repeatBody = z.strictObject({
    date: day.optional(),
    wishes: wishes.omit({ side: true }).default({}),
    save: z.boolean(),
  });
  app.post(
    "/requests/:code/plan/repeat",
    { config, schema: { params: codeParams, body: repeatBody } },
    async (request): Promise<{ readonly job: string }> => {
      const actor = who(request);
      const { id: requestId } = await requestByCode(desk, actor, request.params.code);
      const { date, wishes: said, save } = request.body;
      const wanted = { requestId, wishes: wishesOf(said), save, ...(date !== undefined && { date }) };
      const now = await practice();
      const job = jobs.start(
        actor,
        "Planning the next visit",
        async (_step, signal): Promise<RepeatedPlan> => {
          const repeat = doneOrThrow(await repeatRequest(desk, actor, pool, wanted, now, signal));
          return { plan: shown(repeat.plan), notes: repeat.notes, baselines: baselinesOf(repeat) };
        },
      );
      return { job: job.id };
    },
  );
};

const baselinesOf = ({ frames }: Repeat): RepeatedPlan["baselines"] =>
  Object.fromEntries(
    [...frames].map(([key, { frame }]) => [key, { frameId: frame.frameId, sha256: frame.sha256 }]),
  );

/** Fields that were left out stay out. */
const wishesOf = (said: z.output<typeof wishes>): PlanWishes =>
  Object.fromEntries(Object.entries(said).filter(([, value]) => value !== undefined));

function shown(plan: Plan | RepeatPlan): ShownPlan {
  return {
    ...plan,
    views: plan.views.map((view) => ({
      ...view,
      figure: viewFigure(view.view, view.fieldMm),
      ratio: formatRatio(view.magnification),
      distance: sayDistance(view.workingDistanceMm ?? view.objectDistanceMm),
      isMeasured: view.workingDistanceMm !== null,
      repeats: "repeats" in view ? (view as RepeatedView).repeats : null,
    })),
    repeatsSays: "repeats" in plan ? [plan.repeats.says, plan.repeats.bodySays] : [],
  };
}
