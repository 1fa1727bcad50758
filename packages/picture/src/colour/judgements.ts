import type { Clipping, ColourJudgement } from "../colour-answers.ts";
import type { LightOverChart } from "./light.ts";
import type { MeasuredPatch } from "./measured-patch.ts";

/** A stop is what a photographer would correct at the flash. */
const MAX_STOPS = 1;
/** 15 % is a fifth of a stop, the step below which nobody moves a light. */
const MAX_FALLOFF = 0.15;
/** Rendered charts under one kind of light: 2.5 at most in 95 of 100, 3.8 the worst; parted by a second lamp: 7 and more. */
const MAX_COLOUR_CHANGE = 4;
/** Small burnt-out glints are everywhere; a hundredth of the picture is a place. */
const MAX_BURNT_OUT = 0.01;

/** What a photographer wants to know of the light, each with its figure. */
export function judgementsOf(
  stops: number | null,
  clipping: Clipping,
  light: LightOverChart,
  patches: readonly MeasuredPatch[],
): ColourJudgement[] {
  return [
    exposure(stops),
    clippingOf(clipping, patches),
    unevenLight(light.falloff),
    mixedLight(light.colourChange),
  ];
}

function exposure(stops: number | null): ColourJudgement {
  const what = "exposure";
  if (stops === null) return { what, say: "none of the chart's greys kept its detail", doubtful: true };
  const amount = Math.abs(stops).toFixed(1);
  if (amount === "0.0")
    return { what, say: "the chart's greys are as bright as they should be", doubtful: false };
  const say = `the chart is ${amount} stops too ${stops > 0 ? "bright" : "dark"}`;
  return { what, say, doubtful: Math.abs(stops) > MAX_STOPS };
}

function clippingOf({ burntOut, black }: Clipping, patches: readonly MeasuredPatch[]): ColourJudgement {
  const lost = patches.filter((patch) => patch.leftOut === "burnt out").length;
  const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
  const say = `${percent(burntOut)} of the picture is burnt out and ${percent(black)} black, ${lost} of the chart's patches burnt out; no correction brings that back`;
  return { what: "clipping", say, doubtful: burntOut > MAX_BURNT_OUT };
}

function unevenLight(falloff: number): ColourJudgement {
  const say = `the light changes by ${Math.round(100 * falloff)} % over the chart; the correction leaves that`;
  return { what: "uneven light", say, doubtful: falloff > MAX_FALLOFF };
}

function mixedLight(change: number): ColourJudgement {
  const figure = `the same grey would differ by ΔE00 ${change.toFixed(1)} between two corners of the chart`;
  const doubtful = change > MAX_COLOUR_CHANGE;
  return { what: "mixed light", say: doubtful ? `two kinds of light: ${figure}` : figure, doubtful };
}
