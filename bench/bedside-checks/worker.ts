import { parentPort, workerData } from "node:worker_threads";
import { look } from "../../packages/picture/src/checks/look.ts";
import { reduced } from "../../packages/picture/src/checks/reduced.ts";
import { decodeBytes, wholeGreyOf } from "../../packages/picture/src/decode/decode.ts";
import type { LookAnswer } from "../../packages/picture/src/look-answer.ts";
import { bedsidePicture, type Facts, type Planted } from "./picture.ts";

/** A thread that renders a seed with every fault, and looks at each. */
export interface WorkerData {
  readonly longSidePx: number;
  readonly faults: readonly Planted[];
}

/** What was seen of one frame: a line of the JSONL file. */
export interface Row {
  readonly planted: Planted;
  readonly facts: Omit<Facts, "subject"> & {
    readonly subject: { readonly share: number; readonly runsOut: Sides } | null;
  };
  readonly seen: Omit<LookAnswer, "file" | "warnings">;
  /** Processor time of the look alone. */
  readonly seconds: number;
}

export type Sides = Readonly<Record<"left" | "top" | "right" | "bottom", number>>;

const { longSidePx, faults } = workerData as WorkerData;

parentPort?.on("message", async (seed: number) => {
  const rows: Row[] = [];
  for (const planted of faults) {
    const { jpeg, scale, facts } = await bedsidePicture(seed, planted, longSidePx);
    const picture = await decodeBytes(jpeg, `seed ${seed}`);
    const before = process.cpuUsage();
    const seen = look(reduced(picture), wholeGreyOf(picture), scale);
    const { user, system } = process.cpuUsage(before);
    const { subject, ...others } = facts;
    rows.push({
      planted,
      facts: { ...others, subject: subject && { share: subject.share, runsOut: subject.runsOut } },
      seen,
      seconds: (user + system) / 1e6,
    });
  }
  parentPort?.postMessage(rows);
});
