import type { LabLevel, WorkPicture } from "./work-picture.ts";

/** A square piece of the picture, resampled to `size` x `size`, so that every step costs the same at any scale. */
export interface Crop {
  readonly size: number;
  readonly lab: Float32Array;
  /** 1 where there is nothing to look at: padding, beyond the border, or taken by another part. */
  readonly void: Uint8Array;
  /** Work position of the crop's outer top left corner, and work pixels per crop pixel. */
  readonly left: number;
  readonly top: number;
  readonly pitch: number;
}

/**
 * Square of half side `half` work pixels about a work position.
 * @param isTaken work positions that belong to something else, and are void here
 */
export function cropAround(
  work: WorkPicture,
  x: number,
  y: number,
  half: number,
  size: number,
  isTaken: (x: number, y: number) => boolean = () => false,
): Crop {
  const pitch = (2 * half) / size;
  const left = x - half;
  const top = y - half;
  const lab = new Float32Array(size * size * 3);
  const voids = new Uint8Array(size * size);
  // A level whose pixels are no larger than the crop's keeps the detail; one level finer would alias.
  const depth = Math.max(
    0,
    Math.min(work.levels.length - 1, Math.floor(Math.log2(Math.max(1, pitch)) + 0.25)),
  );
  const level = work.levels[depth]!;
  const scaleX = level.widthPx / work.widthPx;
  const scaleY = level.heightPx / work.heightPx;
  for (let j = 0; j < size; j++) {
    const wy = top + (j + 0.5) * pitch;
    for (let i = 0; i < size; i++) {
      const wx = left + (i + 0.5) * pitch;
      const o = j * size + i;
      const isPicture = wx >= 0 && wy >= 0 && wx < work.widthPx && wy < work.heightPx;
      const isPadding = isPicture && work.padding[Math.floor(wy) * work.widthPx + Math.floor(wx)] === 1;
      voids[o] = isPicture && !isPadding && !isTaken(wx, wy) ? 0 : 1;
      sample(level, wx * scaleX, wy * scaleY, lab, 3 * o);
    }
  }
  return { size, lab, void: voids, left, top, pitch };
}

/** Bilinear between pixel centres; beyond the border the nearest pixel goes on. */
function sample(level: LabLevel, x: number, y: number, out: Float32Array, o: number): void {
  const fx = Math.min(level.widthPx - 1, Math.max(0, x - 0.5));
  const fy = Math.min(level.heightPx - 1, Math.max(0, y - 0.5));
  const x0 = Math.floor(fx);
  const y0 = Math.floor(fy);
  const ax = fx - x0;
  const ay = fy - y0;
  const right = x0 + 1 < level.widthPx ? 3 : 0;
  const below = y0 + 1 < level.heightPx ? 3 * level.widthPx : 0;
  const p = 3 * (y0 * level.widthPx + x0);
  const { lab } = level;
  for (let c = 0; c < 3; c++) {
    const upper = lab[p + c]! * (1 - ax) + lab[p + right + c]! * ax;
    const lower = lab[p + below + c]! * (1 - ax) + lab[p + below + right + c]! * ax;
    out[o + c] = upper * (1 - ay) + lower * ay;
  }
}
