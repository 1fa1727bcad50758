import type { Judged, Sides, SubjectSeen } from "../look-answer.ts";
import { countOf } from "./cells.ts";
import type { FrameParts } from "./parts-of-frame.ts";
import type { Reduced } from "./reduced.ts";

/** No backdrop worth the name: what is left at the borders may be a shadow or a thing laid there. */
const HARDLY_ANY = 0.01;

/** Where the subject lies in the frame. */
export function subjectSeen(picture: Reduced, parts: FrameParts | null): Judged<SubjectSeen> {
  if (!parts) return { judged: false, why: "No skin is seen: where the subject lies cannot be told." };
  const { columns, rows, widthPx, heightPx } = picture;
  const { subject, backdrop } = parts;
  const n = columns * rows;
  let [left, top, right, bottom] = [columns, rows, 0, 0];
  let [sumX, sumY, count] = [0, 0, 0];
  for (let y = 0, i = 0; y < rows; y++) {
    for (let x = 0; x < columns; x++, i++) {
      if (!subject[i]) continue;
      left = Math.min(left, x);
      right = Math.max(right, x + 1);
      top = Math.min(top, y);
      bottom = Math.max(bottom, y + 1);
      sumX += x + 0.5;
      sumY += y + 0.5;
      count++;
    }
  }
  return {
    judged: true,
    fillsFrame: countOf(backdrop) < HARDLY_ANY * n,
    share: count / n,
    boxPx: {
      left: (left / columns) * widthPx,
      top: (top / rows) * heightPx,
      right: (right / columns) * widthPx,
      bottom: (bottom / rows) * heightPx,
    },
    runsOut: runsOutOf(subject, columns, rows),
    offCentre: { x: sumX / count / columns - 0.5, y: sumY / count / rows - 0.5 },
    distinctness: parts.distinctness,
  };
}

function runsOutOf(subject: Uint8Array, columns: number, rows: number): Sides {
  const share = (length: number, at: (k: number) => number) => {
    let sum = 0;
    for (let k = 0; k < length; k++) sum += subject[at(k)]!;
    return sum / length;
  };
  return {
    left: share(rows, (y) => y * columns),
    right: share(rows, (y) => y * columns + columns - 1),
    top: share(columns, (x) => x),
    bottom: share(columns, (x) => (rows - 1) * columns + x),
  };
}
