import { planViews } from "../../src/plan/plan-views.ts";
import type { FileDone, FrameDone, PictureDone } from "../../src/repeat/frame-done.ts";
import type { View } from "../../src/views/view.ts";
import { practiceOf, setOf, viewOf } from "../support.ts";

export const practice = practiceOf();

/** A view planned for 100 mm on 36 x 24 mm, and a frame of it that reached `ratio`. */
export function doneOf(
  ratio: number,
  more: {
    readonly view?: Partial<View>;
    readonly picture?: Partial<PictureDone>;
    readonly file?: Partial<FileDone>;
    readonly body?: string;
  } = {},
) {
  const plan = planViews(setOf(viewOf(more.view ?? {})), practice, { body: more.body ?? "full" });
  const planned = plan.views[0]!;
  const longMm = Math.max(plan.body.sensor.widthMm, plan.body.sensor.heightMm);
  const pxPerMm = (ratio * 6000) / longMm;
  const picture: PictureDone = {
    widthPx: 6000,
    heightPx: 4000,
    pxPerMm: { value: pxPerMm, u95: 0.002 * pxPerMm },
    ratio: { value: ratio, u95: 0.005 * ratio },
    ratioFrom: "sensor 36 mm wide, from the focal plane resolution",
    leanDeg: { value: 2, u95: 0.5 },
    scale: { kind: "straight", at: { x: 0.2, y: 0.8 }, turnedDeg: 3 },
    scaleHeightMm: null,
    chartFound: null,
    subject: null,
    light: null,
    ...more.picture,
  };
  const file: FileDone = {
    camera: "Virtual One",
    lens: null,
    focalMm: 100,
    fNumber: 16,
    exposureS: 1 / 160,
    iso: 200,
    flashFired: true,
    sensorLongMm: longMm,
    ...more.file,
  };
  const done: FrameDone = {
    name: "F0001.JPG",
    sha256: "0".repeat(64),
    date: "2026-03-02",
    verdict: { verdict: "keep", say: "Keep: the ratio is as planned." },
    planned,
    plannedBody: { id: plan.body.id, name: plan.body.name, longMm },
    picture,
    file,
  };
  return { plan, done };
}
