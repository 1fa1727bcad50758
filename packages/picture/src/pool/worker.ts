import { reportOf } from "@samescale/errors";
import type { TaskName, Tasks } from "./tasks.ts";

/**
 * Runs one task in a worker thread. The step's code is loaded on first use, so that a thread that only reads
 * labels never loads the vision library. Errors cross the thread as reports: classes do not survive the trip.
 */
const steps: {
  readonly [N in TaskName]: () => Promise<(input: Tasks[N]["input"]) => Promise<Tasks[N]["answer"]>>;
} = {
  info: async () => (await import("../info/info-of-file.ts")).infoOfFile,
  arrival: async () => (await import("../arrival/arrival-of-file.ts")).arrivalOfFile,
  scale: async () => (await import("../scale/scale-of-file.ts")).scaleOfFile,
  look: async () => (await import("../checks/look-of-file.ts")).lookOfFile,
  bedside: async () => (await import("../checks/look-of-file.ts")).bedsideOfFile,
  outline: async () => (await import("../outline/outline-of-file.ts")).outlineOfFile,
  "outline-pixels": async () => (await import("../outline/outline-of-file.ts")).outlinePixels,
  measure: async () => (await import("../planimetry/measure-file.ts")).measureFile,
  align: async () => (await import("../align/align-files.ts")).alignFiles,
  colour: async () => (await import("../colour/colour-of-file.ts")).colourOfFile,
  "grey-card": async () => (await import("../colour/grey/grey-card-of-file.ts")).greyCardOfFile,
  "match-colour": async () => (await import("../colour/match/match-of-file.ts")).matchColourOfFile,
  label: async () => (await import("../label/labels-of-file.ts")).labelsOfFile,
  window: async () => (await import("../render/window.ts")).windowOfFile,
  "comparison-pictures": async () =>
    (await import("../render/comparison/comparison-pictures.ts")).comparisonPictures,
  difference: async () => (await import("../render/comparison/difference-window.ts")).differenceOfFiles,
  ghost: async () => (await import("../render/ghost/ghost.ts")).ghostOf,
  tiles: async () => (await import("../render/tiles.ts")).tilesOf,
  thumbnail: async () => (await import("../render/thumbnail.ts")).thumbnailOf,
  "outgoing-picture": async () => (await import("../deidentify/outgoing-picture.ts")).outgoingPicture,
  "jpeg-as-coded": async () => (await import("../deidentify/jpeg-as-coded.ts")).jpegAsCoded,
  "propose-masks": async () => (await import("../deidentify/propose-masks.ts")).proposeMasks,
  metadata: async () => (await import("../deidentify/metadata-of-picture.ts")).metadataOfPicture,
};

export interface Job<N extends TaskName = TaskName> {
  readonly task: N;
  readonly input: Tasks[N]["input"];
}

export default async function work<N extends TaskName>({ task, input }: Job<N>) {
  try {
    const step = await steps[task]();
    return { ok: true, answer: await step(input) } as const;
  } catch (thrown) {
    const subject = subjectOf(input);
    return { ok: false, error: reportOf(thrown, subject) } as const;
  }
}

function subjectOf(input: Tasks[TaskName]["input"]): string {
  if ("file" in input) return input.file;
  if ("of" in input) return typeof input.of === "string" ? input.of : "a picture";
  return "followup" in input ? `${input.baseline} and ${input.followup}` : input.baseline;
}
