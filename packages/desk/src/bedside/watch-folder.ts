import type { ErrorReport } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import type { FolderEvent } from "../watch/folder-event.ts";
import { judgeFolder } from "../watch/judge-folder.ts";
import { type ArrivalJudged, judgeArrival } from "./judge-arrival.ts";
import type { WatchPlan } from "./judge-view.ts";
import { BedsideSession } from "./session.ts";

/** One line of the watch, as the contract has it, with what is still missing. */
export interface WatchedFrame extends ArrivalJudged {
  /** From the last change of the file to the verdict. */
  readonly seconds: number;
  /** Views of the plan that no frame shows which may stay. */
  readonly missing: readonly string[];
}

export type WatchLine =
  | WatchedFrame
  | { readonly file: string; readonly error: ErrorReport; readonly seconds: number }
  | { readonly folder: string; readonly state: "gone" | "denied" | "back"; readonly say: string }
  | { readonly file: string; readonly ignored: string };

/**
 * Follows a folder and judges each frame as it is complete, the newest first. Nothing is written: the frames become
 * part of the record when the card is taken in.
 *
 * @throws SamescaleError when the folder cannot be followed at all
 */
export async function* watchFolder(
  folder: string,
  pool: PicturePool,
  plan: WatchPlan,
  options: { readonly once?: boolean; readonly signal?: AbortSignal },
): AsyncGenerator<WatchLine> {
  const session = new BedsideSession(plan.views, plan.requestCode);
  const events = judgeFolder<ArrivalJudged>(folder, {
    ...options,
    workers: pool.threads,
    judge: (frame, signal) => judgeArrival(frame, session, pool, plan, signal),
  });
  for await (const event of events) {
    switch (event.kind) {
      case "judged":
        yield { ...event.verdict, seconds: rounded(event.seconds), missing: session.missing };
        break;
      case "failed":
        yield { file: event.frame.judgedFile, error: event.error, seconds: rounded(event.seconds) };
        break;
      case "removed":
        session.remove(event.id);
        break;
      case "files":
        if (event.why === "returned") session.takeBack(event.id);
        break;
      case "unreadable":
        yield { file: event.file, error: event.error, seconds: 0 };
        break;
      case "ignored":
        yield { file: event.file, ignored: event.why };
        break;
      case "folder":
        yield { folder: event.folder, state: event.state, say: FOLDER_WORDS[event.state] };
        break;
    }
  }
}

export const FOLDER_WORDS: Readonly<Record<Extract<FolderEvent, { kind: "folder" }>["state"], string>> = {
  gone: "The folder is not there any more: look at the cable or the network. The watch goes on when it is back.",
  denied: "The folder may not be read any more: look at its permissions. The watch goes on when it may.",
  back: "The folder is back.",
};

export const rounded = (seconds: number): number => Math.round(seconds * 100) / 100;
