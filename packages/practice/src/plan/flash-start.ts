import { bellowsFactor, guideNumberAtZoom, longestCoveringZoomMm } from "@samescale/optics";
import type { Light } from "../department/lights.ts";
import type { Flash } from "../kit/item.ts";
import type { Kit } from "../kit/kit.ts";
import { whyUnusable } from "../kit/state.ts";
import { sayDistance } from "../words.ts";

/** Where to begin with the flash at hand. A test frame decides: rooms, diffusers and skin differ. */
export interface FlashStart {
  readonly flashes: readonly { readonly id: string; readonly name: string }[];
  /** From the flash to the subject. */
  readonly distanceMm: number;
  /** Part of full power, each head: 4 for 1/4. */
  readonly powerPart: number;
  readonly iso: number;
  readonly says: string;
}

export type FlashAnswer =
  | { readonly known: true; readonly start: FlashStart }
  | { readonly known: false; readonly why: string };

const BASE_ISO = 100;
/** Beyond this, noise begins to look like texture (common practice, no source). */
const MOST_ISO = 3200;

/**
 * Starting exposure: the part of full power at which the marked f-number is right, N = GN √p / (d (1 + m/P)), heads
 * adding their light; more ISO where full power does not do. Guide numbers hold for one small head in a room of usual
 * size: a starting value.
 * @source Ray2002 (flash close up); OpenPhotographic (N = GN/d)
 */
export function flashStart(
  light: Light,
  kit: Kit,
  setting: {
    readonly fNumber: number;
    readonly magnification: number;
    readonly pupilRatio: number;
    /** Front of the lens, or the front principal plane where nobody measured. */
    readonly lensDistanceMm: number;
    readonly fieldMm: { readonly widthMm: number; readonly heightMm: number };
  },
): FlashAnswer {
  if (light.flash === "none") return { known: false, why: "Meter the light that is there." };
  const usable = kit.flashes.filter(
    ({ kind, ...item }) => kind === light.flash && whyUnusable(item) === null,
  );
  const heads = usable.slice(0, Math.max(1, light.heads));
  const first = heads[0];
  if (!first) {
    return { known: false, why: `No ${KIND_WORDS[light.flash]} of the register can be used.` };
  }
  if (light.flash === "continuous") return { known: false, why: `Meter the light of the ${first.name}.` };
  const distanceMm = light.distance === "lens" ? setting.lensDistanceMm : light.distance;
  const numbers = heads.map((flash) => guideNumberOf(flash, setting.fieldMm, distanceMm));
  // Light adds, and the guide number is its square root.
  const together = Math.hypot(...numbers);
  const needed =
    (setting.fNumber * distanceMm * bellowsFactor(setting.magnification, setting.pupilRatio)) / 1000;
  const part = (needed / together) ** 2;
  const leastPart = Math.min(...heads.map(({ leastPowerPart }) => leastPowerPart));
  const iso = part <= 1 ? BASE_ISO : nextIso(part * BASE_ISO);
  const powerPart = nearestPower(iso / BASE_ISO / part);
  const fewer =
    heads.length < light.heads ? ` Only ${heads.length} of ${light.heads} heads can be used.` : "";
  const start = {
    flashes: heads.map(({ id, name }) => ({ id, name })),
    distanceMm,
    powerPart: Math.min(powerPart, leastPart),
    iso: Math.min(iso, MOST_ISO),
  };
  const dim =
    powerPart > leastPart
      ? ` Even ${power(leastPart)} is too bright: close the lens or move the flash back.`
      : "";
  const dark =
    iso > MOST_ISO
      ? ` That is too dark by ${Math.log2(iso / MOST_ISO).toFixed(1)} stops: bring the flash closer.`
      : "";
  return {
    known: true,
    start: {
      ...start,
      says: `${power(start.powerPart)}${heads.length > 1 ? " each" : ""} at ${sayDistance(distanceMm)}, ISO ${start.iso}.${fewer}${dim}${dark}`,
    },
  };
}

const KIND_WORDS: Readonly<Record<Light["flash"], string>> = {
  ring: "ring flash",
  "on-camera": "flash for the camera",
  "off-camera": "flash for beside the camera",
  studio: "studio head",
  continuous: "continuous light",
  none: "light",
};

function guideNumberOf(
  flash: Flash,
  fieldMm: { widthMm: number; heightMm: number },
  distanceMm: number,
): number {
  if (flash.zoom.length === 0) return flash.guideNumberM!;
  const settings = flash.zoom.map(({ zoomMm }) => zoomMm);
  const covering = longestCoveringZoomMm(fieldMm, distanceMm);
  return guideNumberAtZoom(
    flash.zoom,
    Math.min(Math.max(covering, Math.min(...settings)), Math.max(...settings)),
  );
}

const nearestPower = (part: number): number => 2 ** Math.max(0, Math.round(Math.log2(part)));
const nextIso = (iso: number): number => BASE_ISO * 2 ** Math.ceil(Math.log2(iso / BASE_ISO) - 1e-9);
const power = (part: number): string => (part === 1 ? "Full power" : `1/${part} of full power`);
