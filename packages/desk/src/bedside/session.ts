import { type Assignment, assignViews, type Verdict } from "@samescale/practice";
import type { LabelCode } from "../intake/label-code.ts";
import type { SeenFrame } from "./see-frame.ts";
import type { WatchedView } from "./watched-view.ts";

/** A frame of the session once it was judged. */
interface SessionFrame {
  readonly id: string;
  readonly order: FrameOrder;
  readonly seen: SeenFrame;
  verdict: Verdict["verdict"] | null;
}

/** What a person may say of a frame against the judgement. */
export type SaidVerdict = Exclude<Verdict["verdict"], "not-judged">;

/** Frames are laid along the plan in the order in which they were made. */
export interface FrameOrder {
  readonly takenAt: string | null;
  /** When the file was written, by the computer's or the share's clock. */
  readonly writtenMs: number;
  readonly arrivedMs: number;
  readonly name: string;
}

/** A day, and what time zones may add. */
const FUTURE_MS = 38 * 3_600_000;
const FIRST_CAMERAS = "1995";

/** A clock that was never set, or is set into the future: nothing is ordered by it. */
const isClockWrong = ({ takenAt, writtenMs }: FrameOrder): boolean =>
  takenAt !== null && (takenAt < FIRST_CAMERAS || Date.parse(takenAt) > writtenMs + FUTURE_MS);

/** What the session says of a frame before its picture is judged: which view it shows, whose it is. */
export type Standing =
  | { readonly kind: "label"; readonly label: LabelCode | "broken"; readonly ours: boolean }
  | { readonly kind: "stranger"; readonly requestCode: string }
  | { readonly kind: "view"; readonly planned: WatchedView; readonly notes: readonly string[] }
  | { readonly kind: "no-view"; readonly notes: readonly string[] };

/**
 * The frames of one visit as they arrive, laid along its plan anew with each. Counts what is still missing; frames
 * that are to be repeated do not count.
 */
export class BedsideSession {
  readonly #views: readonly WatchedView[];
  readonly #requestCode: string | null;
  readonly #frames = new Map<string, SessionFrame>();
  readonly #removed = new Map<string, SessionFrame>();
  /** A person's word stands whatever is found later, also of a frame that is still being read. */
  readonly #said = new Map<string, SaidVerdict>();

  constructor(views: readonly WatchedView[], requestCode: string | null) {
    this.#views = views;
    this.#requestCode = requestCode;
  }

  /** The view that comes next by the frames so far: what can be prepared while the picture is read. */
  get next(): WatchedView | null {
    const missing = this.missing[0];
    return this.#views.find(({ view }) => view.key === missing) ?? null;
  }

  /** Keys of the views that no frame shows which may stay. */
  get missing(): readonly string[] {
    const { views, frames } = this.#laid();
    const made = new Set(
      frames.flatMap(({ id, verdict }, i) => {
        const at = views.viewOfFrame[i] ?? null;
        return at === null || (this.#said.get(id) ?? verdict) === "repeat" ? [] : [at];
      }),
    );
    return this.#views.filter((_, i) => !made.has(i)).map(({ view }) => view.key);
  }

  /** Takes a frame in and says what it is. */
  add(id: string, order: FrameOrder, seen: SeenFrame): Standing {
    this.#frames.set(id, { id, order, seen, verdict: null });
    if (seen.label !== null) {
      const ours =
        this.#requestCode === null ||
        (seen.label !== "broken" && seen.label.requestCode === this.#requestCode);
      return { kind: "label", label: seen.label, ours };
    }
    const { views, frames, strangers } = this.#laid();
    const stranger = strangers.get(id);
    if (stranger !== undefined) return { kind: "stranger", requestCode: stranger };
    // One stated ratio: whatever lies in the folder is held against it.
    const at =
      this.#requestCode === null
        ? 0
        : (views.viewOfFrame[frames.findIndex((frame) => frame.id === id)] ?? null);
    const notes = this.#notes(id);
    return at === null ? { kind: "no-view", notes } : { kind: "view", planned: this.#views[at]!, notes };
  }

  /** Notes the verdict, so that what is missing is counted by it. */
  judged(id: string, verdict: Verdict): void {
    const frame = this.#frames.get(id);
    if (frame) frame.verdict = verdict.verdict;
  }

  /** A person decides otherwise. @param verdict null: the judgement counts again */
  say(id: string, verdict: SaidVerdict | null): void {
    if (verdict === null) this.#said.delete(id);
    else this.#said.set(id, verdict);
  }

  /** A deleted frame is no view made. */
  remove(id: string): void {
    const frame = this.#frames.get(id);
    if (frame && this.#frames.delete(id)) this.#removed.set(id, frame);
  }

  /** It lies there again. */
  takeBack(id: string): void {
    const frame = this.#removed.get(id);
    if (frame && this.#removed.delete(id)) this.#frames.set(id, frame);
  }

  get labelSeen(): boolean {
    return [...this.#frames.values()].some(
      ({ seen: { label } }) =>
        label !== null && label !== "broken" && label.requestCode === this.#requestCode,
    );
  }

  #inOrder(): SessionFrame[] {
    const frames = [...this.#frames.values()];
    const timed = frames.every(({ order }) => order.takenAt !== null && !isClockWrong(order));
    return frames.sort((a, b) =>
      timed && a.order.takenAt !== b.order.takenAt
        ? a.order.takenAt! < b.order.takenAt!
          ? -1
          : 1
        : a.order.arrivedMs - b.order.arrivedMs || (a.order.name < b.order.name ? -1 : 1),
    );
  }

  /** Frames that are this session's, laid along its views; the others by the request of the last label before them. */
  #laid(): {
    readonly views: Assignment;
    readonly frames: readonly SessionFrame[];
    readonly strangers: ReadonlyMap<string, string>;
  } {
    const strangers = new Map<string, string>();
    const frames: SessionFrame[] = [];
    let labelled: string | null = null;
    for (const frame of this.#inOrder()) {
      const { label } = frame.seen;
      if (label !== null && label !== "broken") labelled = label.requestCode;
      if (label !== null) continue;
      const isOurs = this.#requestCode === null || labelled === null || labelled === this.#requestCode;
      if (isOurs) frames.push(frame);
      else strangers.set(frame.id, labelled!);
    }
    const views = assignViews(
      frames.map(({ seen: { scale } }) => ({
        magnificationRead: scale.found ? (scale.reproductionRatio?.value ?? null) : null,
        orientation: scale.heightPx > scale.widthPx ? "portrait" : "landscape",
      })),
      this.#views,
    );
    return { views, frames, strangers };
  }

  /** What a person should know of the file itself. */
  #notes(id: string): string[] {
    const frames = this.#inOrder();
    const at = frames.findIndex((frame) => frame.id === id);
    const { seen, order } = frames[at]!;
    const before = frames.slice(0, at).findLast(({ seen: { camera } }) => camera !== null)?.seen.camera;
    const another = before && seen.camera !== null && seen.camera !== before;
    const unlabelled = this.#requestCode !== null && !this.labelSeen;
    return [
      ...(unlabelled ? [`label: none of ${this.#requestCode} has been seen yet`] : []),
      ...(another ? ["camera: another one than that of the frames before"] : []),
      ...(isClockWrong(order) ? [`clock: the camera says ${order.takenAt!.slice(0, 10)}; set it`] : []),
    ];
  }
}
