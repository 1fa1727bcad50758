import type { ErrorReport } from "@samescale/errors";

/** A file of a frame, as it was when it was complete. */
export interface FrameFile {
  readonly path: string;
  readonly sizeBytes: number;
  readonly mtimeMs: number;
  readonly isRaw: boolean;
}

/** One exposure, complete and not given before. */
export interface ArrivedFrame {
  readonly kind: "frame";
  /** By the content: the same picture has the same id under another name, and in the next run as well. */
  readonly id: string;
  /** The developed picture first, the RAW behind it. */
  readonly files: readonly FrameFile[];
  /** Path of the picture to judge: the developed one where there is one. */
  readonly judgedFile: string;
  /** When the last change to the judged file was seen, on the follower's clock; waiting for stillness comes on top. */
  readonly completeAtMs: number;
  /** False: the file stopped growing without the end that its format asks for; or the format has no end to look for. */
  readonly endsWhole: boolean;
}

/** What happens in a followed folder, in the order in which it was seen. */
export type FolderEvent =
  | ArrivedFrame
  /** The files of a frame given before are now these. Nothing new to judge; a removed frame counts again. */
  | {
      readonly kind: "files";
      readonly id: string;
      readonly files: readonly FrameFile[];
      readonly why: "paired" | "renamed" | "returned" | "deleted";
    }
  /** Its last file was deleted or overwritten: it no longer counts as a view made. */
  | { readonly kind: "removed"; readonly id: string }
  /** `back`: it can be looked into again; what was given before is not given again. */
  | { readonly kind: "folder"; readonly folder: string; readonly state: "gone" | "denied" | "back" }
  /** No picture, a link, a second copy. Said once for each file. */
  | { readonly kind: "ignored"; readonly file: string; readonly why: string }
  /** May be a picture, but cannot be read; tried again as long as it is there. Said once. */
  | { readonly kind: "unreadable"; readonly file: string; readonly error: ErrorReport };
