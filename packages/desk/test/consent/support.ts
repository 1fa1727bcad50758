import { join } from "node:path";
import type { TestContext } from "node:test";
import { CONSENT_SCOPES, type ConsentRules } from "@samescale/practice";
import type { NewAnswer } from "../../src/consent/answer.ts";
import {
  addPatient,
  addRequest,
  type Desk,
  doneOrThrow,
  giveConsent,
  type Outcome,
  openDesk,
} from "../../src/index.ts";
import { MARA, temporaryFolder } from "../support.ts";

/** A practice's rules with a text for every scope. */
export const RULES: ConsentRules = {
  ageOfMajority: 18,
  leapDayBirthday: "03-01",
  tellDaysBefore: 30,
  wordings: CONSENT_SCOPES.map((scope) => ({
    scope,
    version: "7",
    text: `May pictures of you be used for ${scope}?`,
  })),
};

/** A desk whose clock is set by hand. */
export interface ClockedDesk {
  readonly desk: Desk;
  set(time: string): void;
}

export async function clockedDesk(t: TestContext, time = "2026-03-15T12:00:00.000Z"): Promise<ClockedDesk> {
  const clock = { time };
  const folder = join(await temporaryFolder(t), "library");
  const desk = await openDesk(folder, { clock: () => new Date(clock.time) });
  t.after(() => desk.close());
  return {
    desk,
    set(to) {
      clock.time = to;
    },
  };
}

export interface Job {
  readonly patientId: string;
  readonly requestId: string;
  readonly frames: readonly string[];
}

/** A patient with one request and pictures that are placed in it; rows alone, no files. */
export async function jobOf(
  desk: Desk,
  { number = "HN10001", code = "R-1", birthDate = "1958-11-02" as string | null, pictures = 3 } = {},
): Promise<Job> {
  const patient = { number, authority: "H", name: `Patient ${number}`, birthDate };
  const { id: patientId } = doneOrThrow(await addPatient(desk, MARA, patient));
  const { id: requestId } = doneOrThrow(await addRequest(desk, MARA, { code, patientId, kind: "clinical" }));
  return { patientId, requestId, frames: await picturesIn(desk, requestId, pictures) };
}

export async function picturesIn(desk: Desk, requestId: string, count: number): Promise<string[]> {
  const { newId } = desk.library;
  const intake = newId();
  const frames = Array.from({ length: count }, () => newId());
  await desk.library.write("photographer:mara", async ({ insert }) => {
    await insert("intake", {
      id: intake,
      card_path: "/card",
      begun_at: "2026-03-15T09:00:00.000Z",
      finished_at: "2026-03-15T09:00:00.000Z",
    });
    for (const [i, id] of frames.entries()) {
      await insert("frame", {
        id,
        intake_id: intake,
        folder: "DCIM",
        name: `IMG_${i + 1}`,
        position: i + 1,
        kind: "picture",
        taken_raw: null,
        taken_camera: null,
        taken_at: null,
        clock: "none",
        codes: null,
        request_id: requestId,
        visit_id: null,
        placed_by: "person",
        placing: "made up",
        flags: "[]",
      });
    }
    return { value: null, deed: { act: "test.pictures", subject: `request/${requestId}` } };
  });
  return frames;
}

/** The patient's own yes, written down, unless said otherwise. */
export const answerOf = (fields: Partial<NewAnswer> & Pick<NewAnswer, "of">): NewAnswer => ({
  scope: "teaching",
  by: { capacity: "patient" },
  rules: RULES,
  how: "written",
  ...fields,
});

export const give = async (desk: Desk, fields: Parameters<typeof answerOf>[0]) =>
  doneOrThrow(await giveConsent(desk, MARA, answerOf(fields)));

export interface MadeUpRelease {
  readonly requestId: string;
  readonly patientId: string | null;
  readonly scope: string;
  readonly frames: readonly string[];
  readonly to?: string;
  readonly publication?: string;
  readonly expiresOn?: string;
  readonly leftAt?: string;
}

/** The rows of a release, without one: what withdrawing reads. */
export async function releaseRow(desk: Desk, made: MadeUpRelease): Promise<string> {
  const id = desk.library.newId();
  await desk.library.write("photographer:mara", async ({ insert }) => {
    await insert("release", {
      id,
      request_id: made.requestId,
      patient_id: made.patientId,
      scope: made.scope,
      folder: `r-${id}`,
      form: "pictures",
      recipient: made.to ?? "Dr Example",
      purpose: "a talk",
      publication: made.publication ?? null,
      consents: "[]",
      recipe: "{}",
      receipt: "{}",
      expires_on: made.expiresOn ?? null,
      released_by: "mara",
      made_at: made.leftAt ?? "2026-03-15T12:00:00.000Z",
    });
    for (const [i, frame] of made.frames.entries()) {
      const item = { id: desk.library.newId(), release_id: id, frame_id: frame, original: null };
      await insert("release_item", { ...item, name: `p-${i + 1}.jpg`, sha256: "0".repeat(64), bytes: 1 });
    }
    return { value: null, deed: { act: "test.release", subject: `release/${id}` } };
  });
  return id;
}

export function reasonOf(outcome: Outcome<unknown>): string {
  return outcome.done ? "done" : outcome.reason;
}
