import { SamescaleError } from "@samescale/errors";
import { objectDistanceMm, type SensorSize } from "@samescale/optics";
import type { KnownScale, PicturePool } from "@samescale/picture";
import { type Practice, scaleKnown } from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { planOfRequest } from "../look/plan-of-request.ts";
import { requestByCode } from "../look/request-by-code.ts";
import { calibrationsOf } from "../practice/practice-folder.ts";
import { baselinesOf } from "./baselines.ts";
import type { WatchPlan } from "./judge-view.ts";
import type { WatchedView } from "./watched-view.ts";

/**
 * What a request's frames are watched against: its newest plan, the baseline of its series, the department's scales.
 * @throws SamescaleError REQUEST_UNKNOWN, REQUEST_WITHOUT_PLAN
 */
export async function watchPlanOf(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  code: string,
  practice: Practice,
  practiceFolder: string,
): Promise<WatchPlan> {
  const request = await requestByCode(desk, actor, code);
  const plan = await planOfRequest(desk, actor, request.id);
  if (!plan) {
    throw new SamescaleError(
      "REQUEST_WITHOUT_PLAN",
      `Request ${code} has no plan to judge frames by`,
      `Plan it: samescale plan SET --request ${code}.`,
    );
  }
  return {
    requestCode: code,
    views: plan.views,
    series: plan.purpose === "series",
    tolerances: practice.tolerances,
    baselines: await baselinesOf(desk, actor, pool, request.id, plan),
    calibrations: await knownScales(practiceFolder),
    sensor: { usualSensorMm: plan.body.sensor },
  };
}

/** One ratio and nothing else: for rehearsing, and where there is no library. */
export async function statedPlan(
  stated: { readonly magnification: number; readonly focalMm: number; readonly sensor: SensorSize | null },
  practice: Practice,
  practiceFolder: string,
): Promise<WatchPlan> {
  const { magnification, focalMm, sensor } = stated;
  const long = sensor && Math.max(sensor.widthMm, sensor.heightMm);
  return {
    requestCode: null,
    views: [statedView(magnification, focalMm)],
    series: false,
    tolerances: practice.tolerances,
    baselines: new Map(),
    calibrations: await knownScales(practiceFolder),
    sensor: long === null ? {} : { sensorWidthMm: long },
  };
}

/** Any scale, held either way, no mirror. */
function statedView(magnification: number, focalMm: number): WatchedView {
  return {
    magnification,
    focalMm,
    objectDistanceMm: objectDistanceMm(focalMm, magnification),
    view: {
      key: "stated",
      name: "Stated ratio",
      scale: "straight",
      lens: "clinical",
      orientation: "either",
      mirrored: false,
      chart: "none",
    },
  };
}

const knownScales = async (folder: string): Promise<readonly KnownScale[]> =>
  (await calibrationsOf(folder)).scales.map(scaleKnown);
