import { type Fault, headOfText, headText, verify } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { LOG_READERS } from "./readers.ts";

/** What a check of everything came to. */
export interface Verified {
  readonly holds: boolean;
  /** Each one line; no more than a person can read at once. */
  readonly faults: readonly Fault[];
  readonly faultCount: number;
  readonly counts: Readonly<
    Record<
      | "originals"
      | "bytes"
      | "copies"
      | "derived"
      | "entries"
      | "signedHeads"
      | "timeStamps"
      | "rows"
      | "derivatives",
      number
    >
  >;
  /** No faults, and still to be known. */
  readonly notes: readonly string[];
  /** NUMBER:HASH, to be kept elsewhere. */
  readonly head: string;
  readonly at: string;
}
export type { Fault };

const MOST_FAULTS = 1000;

/** Everything read again and compared, now. */
export const verifyRoutes: Area = (app, { desk, jobs }) => {
  app.post(
    "/custody/verify",
    {
      config: { may: LOG_READERS },
      schema: { body: z.strictObject({ head: z.string().trim().max(100).nullish() }) },
    },
    async (request): Promise<{ readonly job: string }> => {
      const given = request.body.head || null;
      const kept = given === null ? null : headOfText(given);
      if (given !== null && kept === null) {
        throw new SamescaleError(
          "FIELD_NOT_RIGHT",
          "This is not a head of the log",
          "Copy it as it was written down: the number of entries, a colon, 64 digits.",
        );
      }
      const job = jobs.start(who(request), "Checking everything", async (step, signal): Promise<Verified> => {
        const onProgress = ({ originals, of }: { originals: number; of: number }) =>
          step({ done: originals, total: of, at: "reading every original again" });
        const checking = verify(desk, { signal, onProgress, ...(kept ? { kept } : {}) });
        const faults: Fault[] = [];
        let faultCount = 0;
        for (;;) {
          const next = await checking.next();
          if (next.done) {
            const { faults: _, notes, head, ...counts } = next.value;
            const at = desk.library.clock().toISOString();
            return { holds: faultCount === 0, faults, faultCount, counts, notes, head: headText(head), at };
          }
          faultCount++;
          if (faults.length < MOST_FAULTS) faults.push(next.value);
        }
      });
      return { job: job.id };
    },
  );
};
