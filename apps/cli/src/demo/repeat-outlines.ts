import {
  type Actor,
  type Desk,
  departmentRepeats,
  doneOrThrow,
  outlineAgain,
  pictureToRepeat,
} from "@samescale/desk";
import { normal, seededRandom } from "@samescale/geometry";
import type { OwnRepeats, PicturePool, XY } from "@samescale/picture";
import type { DemoManifest } from "@samescale/simulator";
import { everyCard } from "./take-cards.ts";

/** How many pictures each person outlines once more. */
const EACH = 6;
/** A hand does not click twice on the same pixel: one standard deviation, in pixels of pictures 3000 px wide. */
const HAND_PX = 8;

/**
 * Two persons outline a few of the measured pictures once more, without seeing what was outlined before.
 * @returns what these repeats say for the department's next budgets; null while they are too few
 */
export async function repeatOutlines(
  desk: Desk,
  persons: readonly Actor[],
  pool: PicturePool,
  manifest: DemoManifest,
  onOutline: () => void,
  signal: AbortSignal,
): Promise<OwnRepeats | null> {
  const random = seededRandom(20260610);
  const hand = normal(0, HAND_PX);
  const moved = (points: readonly XY[]) => points.map(([x, y]): XY => [x + hand(random), y + hand(random)]);
  const clicksOf = new Map(
    everyCard(manifest)
      .flatMap((c) => c.frames)
      .map((f) => [f.fileName, f.clicks]),
  );
  for (const person of persons) {
    for (let i = 0; i < EACH; i++) {
      const picture = doneOrThrow(await pictureToRepeat(desk, person, random));
      const clicks = clicksOf.get(picture.frame.name);
      if (!clicks) continue;
      const again = { inside: moved(clicks.inside), outside: moved(clicks.outside) };
      // An outline that is too soft to be measured is kept and counts for nothing.
      await outlineAgain(desk, person, pool, { ...picture, clicks: again }, signal);
      onOutline();
    }
  }
  return await departmentRepeats(desk);
}
