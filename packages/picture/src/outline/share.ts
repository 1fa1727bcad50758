import type { Patch } from "./agreement.ts";
import type { WorkPicture } from "./work-picture.ts";

/** How far each pixel of the work picture is inside, 0 to 1; the outline runs where it is one half. */
export interface Share {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

export const emptyShare = (work: WorkPicture): Share => ({
  width: work.widthPx,
  height: work.heightPx,
  values: new Float32Array(work.widthPx * work.heightPx),
});

/** With a patch added to what is inside, or taken from it. A new share; the old one stays as it was. */
export function withPatch(share: Share, patch: Patch, sign: 1 | -1): Share {
  const values = share.values.slice();
  for (let y = Math.max(0, patch.top); y < Math.min(share.height, patch.top + patch.height); y++) {
    for (let x = Math.max(0, patch.left); x < Math.min(share.width, patch.left + patch.width); x++) {
      const change = patch.share[(y - patch.top) * patch.width + x - patch.left]!;
      if (change === 0) continue;
      const o = y * share.width + x;
      values[o] = Math.max(0, Math.min(1, values[o]! + sign * change));
    }
  }
  return { ...share, values };
}

/** Bilinear between pixel centres; beyond the border the nearest pixel goes on. */
export function shareAt({ width, height, values }: Share, x: number, y: number): number {
  const fx = Math.min(width - 1, Math.max(0, x - 0.5));
  const fy = Math.min(height - 1, Math.max(0, y - 0.5));
  const x0 = Math.floor(fx);
  const y0 = Math.floor(fy);
  const ax = fx - x0;
  const ay = fy - y0;
  const right = x0 + 1 < width ? 1 : 0;
  const below = y0 + 1 < height ? width : 0;
  const p = y0 * width + x0;
  return (
    (values[p]! * (1 - ax) + values[p + right]! * ax) * (1 - ay) +
    (values[p + below]! * (1 - ax) + values[p + below + right]! * ax) * ay
  );
}

/** Distance in work pixels from a point to the outline; infinite where there is none. */
export function distanceToOutline(share: Share, x: number, y: number): number {
  const isInside = shareAt(share, x, y) >= 0.5;
  let nearest = Number.POSITIVE_INFINITY;
  for (let j = 0; j < share.height; j++) {
    const dy = j + 0.5 - y;
    if (dy * dy >= nearest) continue;
    for (let i = 0; i < share.width; i++) {
      if (share.values[j * share.width + i]! >= 0.5 === isInside) continue;
      const d = (i + 0.5 - x) ** 2 + dy * dy;
      if (d < nearest) nearest = d;
    }
  }
  // From the middle of the nearest pixel of the other kind to its near side.
  return Math.max(0.5, Math.sqrt(nearest) - 0.5);
}
