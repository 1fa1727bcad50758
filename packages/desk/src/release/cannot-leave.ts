import { SamescaleError } from "@samescale/errors";

/** A frame that turned out, when its picture or page was made, to be one that cannot leave like this. */
export class CannotLeave extends SamescaleError {
  readonly frame: { readonly frameId: string; readonly name: string };

  constructor(frame: { readonly frameId: string; readonly name: string }, why: string) {
    const help = "Put right what is named, or leave the frame out.";
    super("PICTURE_CANNOT_LEAVE", `${frame.name}: ${why}`, help);
    this.frame = frame;
  }
}
