import type { PicturePool } from "@samescale/picture";
import { outgoingPicture } from "../../../picture/src/deidentify/outgoing-picture.ts";

/** The step that a release needs, without a worker thread: a process that is killed soon does not wait for one. */
export const inThisThread: PicturePool = {
  threads: 1,
  async run(task, input) {
    if (task !== "outgoing-picture") throw new Error(`not here: ${task}`);
    return (await outgoingPicture(input as never)) as never;
  },
  async close() {},
};
