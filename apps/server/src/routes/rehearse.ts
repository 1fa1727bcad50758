import { ROLES } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { Verdict } from "@samescale/practice";
import {
  HELD_WELL,
  type HeldCamera,
  type HeldTruth,
  heldTruth,
  REHEARSAL_LENSES_MM,
  REHEARSAL_LIGHTS,
  REHEARSAL_RANGES,
  REHEARSAL_RATIO,
  REHEARSAL_TASKS,
  type RehearsalTask,
  resultOf,
  type TaskResult,
} from "@samescale/simulator";
import type { FastifyReply } from "fastify";
import { z } from "zod";
import type { Area } from "../deps.ts";
import { openRehearsal } from "../rehearse/rehearsal.ts";

export type { HeldCamera, HeldTruth, TaskResult };

/** What there is to rehearse with. */
export interface RehearsalRoom {
  readonly ranges: typeof REHEARSAL_RANGES;
  readonly lensesMm: typeof REHEARSAL_LENSES_MM;
  readonly lights: typeof REHEARSAL_LIGHTS;
  readonly heldWell: HeldCamera;
  readonly ratio: number;
  readonly tasks: readonly {
    readonly key: string;
    readonly start: HeldCamera;
    readonly hasBaseline: boolean;
  }[];
}

/** JPEG in base64. */
export interface QuickShot {
  readonly picture: string;
}

export interface JudgedRehearsal extends QuickShot {
  readonly verdict: Verdict;
  /** What the virtual camera really had: shown only when somebody asks. */
  readonly truth: HeldTruth;
  /** How the task went; null: there is none. */
  readonly result: TaskResult | null;
}

const within = (name: keyof typeof REHEARSAL_RANGES) =>
  z.number().min(REHEARSAL_RANGES[name].min).max(REHEARSAL_RANGES[name].max);

const held = z.strictObject({
  focalMm: z.literal([...REHEARSAL_LENSES_MM]),
  light: z.enum(REHEARSAL_LIGHTS),
  ratioSet: within("ratioSet"),
  distanceMm: within("distanceMm"),
  leanDeg: within("leanDeg"),
  swingDeg: within("swingDeg"),
  rollDeg: within("rollDeg"),
  aimXMm: within("aimXMm"),
  aimYMm: within("aimYMm"),
  lampFromDeg: within("lampFromDeg"),
  lampElevationDeg: within("lampElevationDeg"),
  exposureStops: within("exposureStops"),
  scaleXMm: within("scaleXMm"),
  scaleYMm: within("scaleYMm"),
  scaleTurnDeg: within("scaleTurnDeg"),
  scaleHeightMm: within("scaleHeightMm"),
});
const task = z.string().min(1).max(40);

/** No patient and nothing of the library: everybody may train. */
const config = { may: ROLES };

/** The virtual camera, for training. */
export const rehearseRoutes: Area = (app, deps) => {
  const rehearsal = openRehearsal(deps);
  app.addHook("onClose", () => rehearsal.close());

  app.get(
    "/rehearse",
    { config },
    async (): Promise<RehearsalRoom> => ({
      ranges: REHEARSAL_RANGES,
      lensesMm: REHEARSAL_LENSES_MM,
      lights: REHEARSAL_LIGHTS,
      heldWell: HELD_WELL,
      ratio: REHEARSAL_RATIO,
      tasks: REHEARSAL_TASKS.map(({ key, start, baseline }) => ({
        key,
        start,
        hasBaseline: baseline !== null,
      })),
    }),
  );

  app.post(
    "/rehearse/quick",
    { config, schema: { body: z.strictObject({ held }) } },
    async (request, reply): Promise<QuickShot> => ({
      picture: base64(await rehearsal.quick(request.body.held, untilLeft(reply))),
    }),
  );

  app.post(
    "/rehearse/judged",
    { config, schema: { body: z.strictObject({ held, task: task.nullable() }) } },
    async (request, reply): Promise<JudgedRehearsal> => {
      const { body } = request;
      const wanted = body.task === null ? null : taskOf(body.task);
      const { jpeg, verdict } = await rehearsal.judged(body.held, wanted, untilLeft(reply));
      const truth = heldTruth(body.held);
      return {
        picture: base64(jpeg),
        verdict,
        truth,
        result: wanted && resultOf(wanted, body.held, truth),
      };
    },
  );

  app.get(
    "/rehearse/baselines/:task",
    { config, schema: { params: z.object({ task }) } },
    async (request, reply) =>
      reply.type("image/jpeg").send(Buffer.from(await rehearsal.baseline(taskOf(request.params.task)))),
  );
};

function taskOf(key: string): RehearsalTask {
  const found = REHEARSAL_TASKS.find((one) => one.key === key);
  if (found) return found;
  throw new SamescaleError(
    "TASK_UNKNOWN",
    "There is no such task",
    "Choose one from the list under Rehearse.",
  );
}

const base64 = (bytes: Uint8Array): string => Buffer.from(bytes).toString("base64");

/** Aborted when whoever asked went away: they have moved on. */
function untilLeft({ raw }: FastifyReply): AbortSignal {
  const left = new AbortController();
  raw.once("close", () => {
    if (!raw.writableFinished) left.abort();
  });
  return left.signal;
}
