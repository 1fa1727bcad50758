import { editAt, type WorkClick } from "../edit.ts";
import { firstOutline } from "../first-outline.ts";
import { distanceToOutline, emptyShare, type Share, shareAt } from "../share.ts";
import { isInBox, type WorkBox, withinBox } from "../work-box.ts";
import type { WorkPicture } from "../work-picture.ts";
import { type Cover, painted } from "./paint.ts";

/** The outline after some steps, and what later steps have to respect. Never changed: each step makes a new one. */
export interface OutlineState {
  readonly share: Share;
  /** Clicks so far, in work pixels; a place that was painted over since no longer counts. */
  readonly clicks: readonly WorkClick[];
  readonly box: WorkBox | null;
  /** Work pixels that a hand painted: 1. No click about another place changes them, and their edge stays where it was drawn. */
  readonly byHand: Uint8Array;
  /** The least agreement of the guesses that an outline was made from; 1 where none was needed. */
  readonly agreement: number;
}

export const emptyState = (work: WorkPicture): OutlineState => ({
  share: emptyShare(work),
  clicks: [],
  box: null,
  byHand: new Uint8Array(work.widthPx * work.heightPx),
  agreement: 1,
});

export const isEmpty = ({ share }: OutlineState): boolean => !share.values.some((v) => v >= 0.5);

/** Finds what the box holds, beside what is outlined already. Nothing is added where nothing stands out. */
export function withBox(work: WorkPicture, state: OutlineState, box: WorkBox): OutlineState {
  const first = firstOutline(work, null, box);
  if (!first) return { ...state, box };
  const values = state.share.values.map((v, i) =>
    state.byHand[i] ? v : Math.max(v, first.share.values[i]!),
  );
  const agreement = Math.min(state.agreement, first.agreement);
  return settled(work, { ...state, share: { ...state.share, values }, box, agreement });
}

/** With more clicks: the first inside finds an outline, the others mend it where they contradict it. */
export function withClicks(
  work: WorkPicture,
  state: OutlineState,
  clicks: readonly WorkClick[],
): OutlineState {
  const all = { ...state, clicks: [...state.clicks, ...clicks] };
  const seed = all.clicks.find((c) => c.isInside);
  if (!isEmpty(state) || !seed) return settled(work, all);
  const first = firstOutline(work, seed, null);
  if (!first) return all;
  const share =
    state.box && isInBox(state.box, seed.x, seed.y) ? withinBox(first.share, state.box) : first.share;
  return settled(work, { ...all, share, agreement: Math.min(state.agreement, first.agreement) });
}

/**
 * Takes the clicks that contradict the outline. The command line keeps the order of the clicks inside and that of those
 * outside, not how they alternated: of the next one of either kind the one further from the outline goes first, as a
 * person puts right the largest error first.
 */
function settled(work: WorkPicture, state: OutlineState): OutlineState {
  if (isEmpty(state)) return state;
  let now = state;
  const left = [...state.clicks];
  for (;;) {
    const { share } = now;
    const wrong = left.filter(({ x, y, isInside }) => shareAt(share, x, y) >= 0.5 !== isInside);
    const next = [wrong.find((c) => c.isInside), wrong.find((c) => !c.isInside)]
      .filter((c) => c !== undefined)
      .toSorted((a, b) => distanceToOutline(share, b.x, b.y) - distanceToOutline(share, a.x, a.y))[0];
    if (!next) return now;
    left.splice(left.indexOf(next), 1);
    now = edited(work, now, next);
  }
}

function edited(work: WorkPicture, state: OutlineState, click: WorkClick): OutlineState {
  const before = state.share;
  const cut = editAt(work, before, click, state.clicks);
  const box = state.box && isInBox(state.box, click.x, click.y) ? state.box : null;
  const after = box ? withinBox(cut, box, before) : cut;
  const pixel = Math.floor(click.y) * before.width + Math.floor(click.x);
  // A click on what a hand painted speaks of that; any other leaves it alone.
  if (!state.byHand[pixel]) {
    const values = after.values.map((v, i) => (state.byHand[i] ? before.values[i]! : v));
    return { ...state, share: { ...after, values } };
  }
  const byHand = state.byHand.map((hand, i) => (hand && after.values[i] === before.values[i] ? 1 : 0));
  return { ...state, share: after, byHand };
}

/** With what a cover holds made inside or outside. Clicks that said otherwise there are spent. */
export function withCover(
  state: OutlineState,
  cover: Cover,
  inside: boolean,
  isByHand: boolean,
): OutlineState {
  const { width, height } = state.share;
  const isCovered = ({ x, y }: WorkClick) =>
    cover[Math.min(height - 1, Math.floor(y)) * width + Math.min(width - 1, Math.floor(x))]! >= 0.5;
  return {
    ...state,
    share: painted(state.share, cover, inside),
    clicks: state.clicks.filter((c) => c.isInside === inside || !isCovered(c)),
    byHand: state.byHand.map((hand, i) => (cover[i]! > 0 ? (isByHand ? 1 : 0) : hand)),
  };
}
