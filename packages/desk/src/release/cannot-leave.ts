/**
 * A frame that turned out, when its picture or page was made, to be one that cannot leave like this. Caught by the
 * release, which refuses with the reason: no caller ever sees it.
 */
export class CannotLeave extends Error {
  readonly frame: { readonly frameId: string; readonly name: string };

  constructor(frame: { readonly frameId: string; readonly name: string }, why: string) {
    super(`${frame.name}: ${why}`);
    this.frame = frame;
  }
}
