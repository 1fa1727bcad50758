import type { PicturePool } from "@samescale/picture";
import { jpegAsCoded } from "../../../picture/src/deidentify/jpeg-as-coded.ts";
import { metadataOfPicture } from "../../../picture/src/deidentify/metadata-of-picture.ts";
import { outgoingPicture } from "../../../picture/src/deidentify/outgoing-picture.ts";
import { proposeMasks } from "../../../picture/src/deidentify/propose-masks.ts";

const STEPS = {
  "outgoing-picture": outgoingPicture,
  "jpeg-as-coded": jpegAsCoded,
  "propose-masks": proposeMasks,
  metadata: metadataOfPicture,
};

/** The steps that a release needs, without a worker thread: small pictures do not wait for one to start. */
export const inThisThread: PicturePool = {
  threads: 1,
  async run(task, input) {
    const step = STEPS[task as keyof typeof STEPS];
    return (await step(input as never)) as never;
  },
  async close() {},
};
