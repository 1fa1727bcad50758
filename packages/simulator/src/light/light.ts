import type { Rgb } from "../artwork/mark.ts";
import { lightColour } from "../colour/colour.ts";

/** One lamp. Directions as seen on the surface: 0 = from +x, 90 = from +y; elevation above the surface. */
export interface Lamp {
  readonly fromDeg: number;
  readonly elevationDeg: number;
  readonly distanceMm: number;
  /** Diameter of the lit area: small = hard shadows. */
  readonly sizeMm: number;
  readonly kelvin: number;
  /** Share of the light at the target. */
  readonly level: number;
}

export interface Light {
  readonly lamps: readonly Lamp[];
  /** Light from all round. */
  readonly ambient: { readonly level: number; readonly kelvin: number };
}

const FLASH_K = 5500;

/** Two large lamps from both sides, as on a copy stand: the light for charts. */
export function evenLight(kelvin = FLASH_K): Light {
  const lamp = { elevationDeg: 50, distanceMm: 1500, sizeMm: 500, kelvin, level: 0.42 };
  return {
    lamps: [
      { ...lamp, fromDeg: 200 },
      { ...lamp, fromDeg: -20 },
    ],
    ambient: { level: 0.16, kelvin },
  };
}

/** A flash on the camera. */
export function frontalLight(kelvin = FLASH_K): Light {
  return {
    lamps: [{ fromDeg: -90, elevationDeg: 78, distanceMm: 620, sizeMm: 60, kelvin, level: 0.9 }],
    ambient: { level: 0.1, kelvin },
  };
}

/** A ring flash round the lens: light from above on all sides, hardly a shadow. */
export function ringLight(kelvin = FLASH_K): Light {
  const lamp = { elevationDeg: 80, distanceMm: 520, sizeMm: 120, kelvin, level: 0.24 };
  return {
    lamps: [0, 90, 180, 270].map((fromDeg) => ({ ...lamp, fromDeg })),
    ambient: { level: 0.04, kelvin },
  };
}

/** One lamp from the side, low: relief stands out, shadows are long. */
export function obliqueLight(fromDeg = 210, elevationDeg = 32, kelvin = FLASH_K): Light {
  return {
    lamps: [{ fromDeg, elevationDeg, distanceMm: 900, sizeMm: 160, kelvin, level: 0.82 }],
    ambient: { level: 0.18, kelvin },
  };
}

/** Daylight from one side and room lamps from the other: two colours in one picture. */
export function mixedLight(windowK = 7200, roomK = 3000): Light {
  return {
    lamps: [
      { fromDeg: 190, elevationDeg: 40, distanceMm: 1300, sizeMm: 700, kelvin: windowK, level: 0.5 },
      { fromDeg: 20, elevationDeg: 55, distanceMm: 700, sizeMm: 100, kelvin: roomK, level: 0.36 },
    ],
    ambient: { level: 0.14, kelvin: (windowK + roomK) / 2 },
  };
}

/** The light as it falls on the scene, ready to be asked place by place. */
export interface Illumination {
  /** Light on a small area at world (x, y, z) with unit normal n: writes r, g, b into out[0..2]. */
  at(x: number, y: number, z: number, nx: number, ny: number, nz: number, out: Float64Array): void;
  /** Sum over the lamps of horizontal direction x strength: what relief shading needs. */
  readonly slopeX: number;
  readonly slopeY: number;
  readonly lamps: readonly Lamp[];
}

const RAD = Math.PI / 180;

/** A lamp has size and skin scatters light: some of it reaches a little beyond the edge of the shade. */
const WRAP = 0.14;

/** Level 1 at the target of a surface that faces the camera; colours are relative to the white balance. */
export function illuminationOf(light: Light, whiteBalanceK: number): Illumination {
  const white = lightColour(whiteBalanceK);
  const tint = (kelvin: number): Rgb => {
    const c = lightColour(kelvin);
    return [c[0] / white[0], c[1] / white[1], c[2] / white[2]];
  };
  const total = light.ambient.level + light.lamps.reduce((sum, lamp) => sum + lamp.level, 0);
  const lamps = light.lamps.map((lamp) => {
    const flat = Math.cos(lamp.elevationDeg * RAD);
    const rise = Math.sin(lamp.elevationDeg * RAD);
    const direction = [
      flat * Math.cos(lamp.fromDeg * RAD),
      flat * Math.sin(lamp.fromDeg * RAD),
      -rise,
    ] as const;
    return { lamp, direction, rise, tint: tint(lamp.kelvin), share: lamp.level / total };
  });
  const ambientTint = tint(light.ambient.kelvin);
  const ambient = light.ambient.level / total;
  let slopeX = 0;
  let slopeY = 0;
  for (const { direction, rise, share } of lamps) {
    slopeX += (share * direction[0]) / rise;
    slopeY += (share * direction[1]) / rise;
  }
  return {
    slopeX,
    slopeY,
    lamps: light.lamps,
    at(x, y, z, nx, ny, nz, out) {
      out[0] = ambient * ambientTint[0];
      out[1] = ambient * ambientTint[1];
      out[2] = ambient * ambientTint[2];
      for (const { lamp, direction, rise, tint: colour, share } of lamps) {
        const lx = direction[0] * lamp.distanceMm - x;
        const ly = direction[1] * lamp.distanceMm - y;
        const lz = direction[2] * lamp.distanceMm - z;
        const d2 = lx * lx + ly * ly + lz * lz;
        const cos = (lx * nx + ly * ny + lz * nz) / Math.sqrt(d2) + WRAP;
        if (cos <= 0) continue;
        const k = (share * cos * lamp.distanceMm * lamp.distanceMm) / (d2 * (rise + WRAP));
        out[0] = out[0]! + k * colour[0];
        out[1] = out[1]! + k * colour[1];
        out[2] = out[2]! + k * colour[2];
      }
    },
  };
}
