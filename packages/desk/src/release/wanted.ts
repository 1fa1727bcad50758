import type { ConsentScope } from "@samescale/practice";
import { isDay, isPlainText } from "../act/checks.ts";
import { isPlainName } from "./stage/plain-name.ts";

/** What somebody wants to pass on, to whom, what for. */
export interface ReleaseWanted {
  readonly requestId: string;
  /** Frames of this request; the order is kept. */
  readonly frames: readonly string[];
  readonly scope: ConsentScope;
  /** Who receives it: a name that somebody can be asked by. */
  readonly to: string;
  /** In words: what the recipient will use it for. */
  readonly purpose: string;
  /** The very publication, for the publication scopes. */
  readonly publication?: string | null;
  /** The research project, by its name here, for research. */
  readonly project?: string | null;
  /** Last day of use, YYYY-MM-DD. Where consent ends earlier, that day counts. */
  readonly expiresOn?: string | null;
  /** Folder below that of everything released; made when missing. Without: the release's own mark. */
  readonly folder?: string;
}

/** Why something cannot leave; `frame`: the file name of the frame that it is about. */
export interface Refusal {
  readonly frameId: string | null;
  readonly frame: string | null;
  readonly why: string;
  /** What would lift it; null: it is said in `why`, or nothing does. */
  readonly way: RefusalWay | null;
}

/** consent: ask for it; mask: confirm it; place: say whose picture it is; take-back: it was put aside. */
export type RefusalWay = "consent" | "mask" | "place" | "take-back";

export const refusal = (why: string): Refusal => ({ frameId: null, frame: null, why, way: null });

/** All reasons as one sentence each; those that are the same for several frames once. */
export function refusalText(refusals: readonly Refusal[]): string {
  const whys = Map.groupBy(refusals, ({ why }) => why);
  const sentences = [...whys].map(([why, of]) => {
    const frames = of.flatMap(({ frame }) => frame ?? []);
    return frames.length === 0 ? why : `${frames.join(", ")}: ${why}`;
  });
  return sentences.join(". ");
}

const MOST_FRAMES = 2000;
const MOST_TEXT = 300;

/** What can be said against it without a look at the library. */
export function faultsOf(wanted: ReleaseWanted, today: string): Refusal[] {
  const { frames, to, purpose, publication, project, expiresOn, folder, scope } = wanted;
  const faults: string[] = [];
  const text = (value: string, what: string) => {
    if (!isPlainText(value) || value.length > MOST_TEXT)
      faults.push(`Say ${what}, in up to ${MOST_TEXT} plain letters`);
  };
  text(to, "who receives it");
  text(purpose, "what it is for");
  if (publication != null) text(publication, "which publication it is");
  if (frames.length === 0) faults.push("Name the frames that are to leave");
  if (frames.length > MOST_FRAMES)
    faults.push(`At most ${MOST_FRAMES} frames leave at once, these are ${frames.length}`);
  if (new Set(frames).size < frames.length) faults.push("A frame is named twice");
  if (expiresOn != null && (!isDay(expiresOn) || expiresOn < today)) {
    faults.push(`The last day of use must be a day from today on, such as ${today}, not ${expiresOn}`);
  }
  if (folder !== undefined && !isPlainName(folder)) {
    faults.push(
      "The folder's name may hold letters, digits, hyphens, underscores and full stops, and begins with a letter or digit",
    );
  }
  if ((scope === "research") !== (project != null)) {
    faults.push(
      scope === "research"
        ? "Say which research project receives it: its patients stand in it under codes of that project"
        : "Only a release for research names a research project",
    );
  }
  return faults.map(refusal);
}
