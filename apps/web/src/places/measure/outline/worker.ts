import { edgeUPx, type OutlineStep, outlineBySteps } from "@samescale/picture/outline";
import type { ScaleFound } from "@samescale/picture/planimetry";
import {
  checkedRegions,
  type Measurements,
  measureRegions,
  type OwnRepeats,
  type PartSaid,
} from "@samescale/picture/planimetry";
import type { Asked, Outlined } from "./messages.ts";

/**
 * Outlines and measures in the browser, from the same source and the same pixels as the server does when the outline is
 * kept: it answers at once, and goes on while the connection is away.
 */
interface Picture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rgb: Uint8Array;
}

let picture: Picture | null = null;
let full = { widthPx: 0, heightPx: 0 };
/** The same step is the same object, so that what was worked out before it is not worked out again. */
const steps = new Map<string, OutlineStep>();

function open(bytes: ArrayBuffer): void {
  const head = new DataView(bytes, 0, 16);
  const [widthPx, heightPx, fullWidthPx, fullHeightPx] = [0, 4, 8, 12].map((at) =>
    head.getUint32(at, true),
  ) as [number, number, number, number];
  picture = { widthPx, heightPx, rgb: new Uint8Array(bytes, 16) };
  full = { widthPx: fullWidthPx, heightPx: fullHeightPx };
  // The first outline of a picture costs ten times a later one: it is made while the person still looks.
  outlineBySteps(picture, [{ do: "click", at: [fullWidthPx / 2, fullHeightPx / 2], inside: true }], full);
}

const known = (step: OutlineStep): OutlineStep => {
  const text = JSON.stringify(step);
  const before = steps.get(text) ?? step;
  steps.set(text, before);
  return before;
};

function outlined({
  id,
  steps: asked,
  reading,
  said,
  ownRepeats,
}: Extract<Asked, { kind: "steps" }>): Outlined {
  const none = { id, regions: [], measured: null, notMeasured: null, warnings: [] };
  if (!picture || asked.length === 0) return { ...none, reason: null };
  const at = picture;
  const { regions: found, reason, warnings } = outlineBySteps(at, asked.map(known), full);
  if (found.length === 0) return { ...none, reason: reason ?? null, warnings };
  const scale = at.widthPx / full.widthPx;
  const regions = found.map((region) => ({ ...region, edgeUPx: edgeUPx(region, at, scale) }));
  if (!reading) return { ...none, regions, reason: null, warnings };
  const measured = measuredOf(regions, reading, said, ownRepeats);
  const isNot = "reason" in measured;
  return {
    ...{ id, regions, reason: null, warnings },
    measured: isNot ? null : measured,
    notMeasured: isNot ? measured.reason : null,
  };
}

/** As the server measures them, or why not. */
function measuredOf(
  regions: Outlined["regions"],
  reading: ScaleFound,
  said: PartSaid,
  ownRepeats: OwnRepeats | null,
): Measurements | { readonly reason: string } {
  try {
    return measureRegions(checkedRegions(regions, full), reading, said, ownRepeats ?? undefined);
  } catch (thrown) {
    return { reason: thrown instanceof Error ? thrown.message : String(thrown) };
  }
}

addEventListener("message", ({ data }: MessageEvent<Asked>) => {
  if (data.kind === "picture") {
    open(data.bytes);
    return;
  }
  try {
    postMessage(outlined(data));
  } catch (thrown) {
    const reason = thrown instanceof Error ? thrown.message : String(thrown);
    postMessage({ id: data.id, regions: [], reason, warnings: [], measured: null, notMeasured: null });
  }
});
