import { join } from "node:path";
import {
  type Actor,
  checkReleased,
  confirmMask,
  consentsOf,
  type Desk,
  dicomForm,
  doneOrThrow,
  evidenceForm,
  fhirForm,
  framesOfVisit,
  MASK_QUESTIONS,
  picturesForm,
  proposeMask,
  type ReleaseForm,
  type ReleaseWanted,
  releaseOut,
  withdrawConsent,
} from "@samescale/desk";
import type { PicturePool } from "@samescale/picture";
import type { DemoJob } from "./department.ts";

/** What left, what was kept back and why, each as a line; and what did not come out as it had to. */
export interface PassedOn {
  readonly lines: readonly string[];
  readonly faults: readonly string[];
}

interface Exit {
  readonly desk: Desk;
  readonly actor: Actor;
  readonly pool: PicturePool;
  readonly releasedFolder: string;
  readonly signal: AbortSignal;
}

/** One try to let something leave, and what consent makes of it. */
interface Try {
  readonly code: string;
  readonly form: ReleaseForm;
  readonly wanted: Omit<ReleaseWanted, "requestId" | "frames">;
  readonly leaves: boolean;
}

const TEACHING = {
  scope: "teaching",
  to: "course for ward nurses",
  purpose: "a lecture on dressings",
} as const;

/** In this order, so that each refusal is seen before what lifts it. */
const TRIES: readonly Try[] = [
  {
    code: "R-101",
    form: dicomForm,
    wanted: { scope: "health-record", to: "image archive", purpose: "the patient's record", folder: "dicom" },
    leaves: true,
  },
  {
    code: "R-101",
    form: fhirForm,
    wanted: { scope: "health-record", to: "record system", purpose: "the patient's record", folder: "fhir" },
    leaves: true,
  },
  { code: "R-101", form: picturesForm, wanted: { ...TEACHING, folder: "teaching" }, leaves: false },
  {
    code: "R-102",
    form: picturesForm,
    wanted: {
      scope: "publication-print",
      to: "the editors",
      purpose: "an article",
      publication: "Invented Annals of Skin, summer issue",
      folder: "publication",
    },
    leaves: false,
  },
  {
    code: "R-103",
    form: evidenceForm,
    wanted: { scope: "evidence", to: "officer in charge", purpose: "the proceedings", folder: "evidence" },
    leaves: true,
  },
];

/**
 * The last steps of the job: pictures leave for the record, for teaching and as evidence; what consent does not reach stays,
 * and a withdrawal ends a use and lists what had left.
 */
export async function passOn(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  jobs: readonly DemoJob[],
  releasedFolder: string,
  signal: AbortSignal,
): Promise<PassedOn> {
  const exit: Exit = { desk, actor, pool, releasedFolder, signal };
  const lines: string[] = [];
  const faults: string[] = [];
  const attempt = async (one: Try) => {
    const { line, left } = await letOut(exit, jobs, one);
    lines.push(line);
    if (left !== one.leaves) faults.push(line);
  };
  for (const one of TRIES) await attempt(one);
  const covered = await maskAll(exit, await lastFrames(exit, jobOf(jobs, "R-101")));
  lines.push(
    `R-101: a person answered ${Object.keys(MASK_QUESTIONS).length} questions for each picture; ${covered} areas covered`,
  );
  const teaching = { code: "R-101", form: picturesForm, wanted: { ...TEACHING, folder: "teaching" } };
  await attempt({ ...teaching, leaves: true });
  for (const folder of ["dicom", "fhir", "teaching", "evidence", "reports"]) {
    const { files, faults: wrong } = await checkReleased(join(releasedFolder, folder), desk);
    lines.push(
      `${folder}/: ${files} files, ${wrong.length === 0 ? "each as its receipt says" : "NOT as the receipt says"}`,
    );
    faults.push(...wrong.map(({ file, fault }) => `${folder}/${file} ${fault}`));
  }
  lines.push(await withdrawTeaching(exit, jobOf(jobs, "R-101")));
  await attempt({ ...teaching, wanted: { ...TEACHING, folder: "teaching-again" }, leaves: false });
  return { lines, faults };
}

const jobOf = (jobs: readonly DemoJob[], code: string): DemoJob =>
  jobs.find((job) => job.code === code) as DemoJob;

/** The frames of the last visit that has any. */
async function lastFrames({ desk, actor }: Exit, job: DemoJob): Promise<string[]> {
  const days = [...job.visits].sort(([one], [other]) => (one < other ? 1 : -1));
  for (const [, visitId] of days) {
    const frames = await framesOfVisit(desk, actor, visitId);
    if (frames.length > 0) return frames.map(({ frameId }) => frameId);
  }
  return [];
}

async function letOut(exit: Exit, jobs: readonly DemoJob[], { code, form, wanted }: Try) {
  const { desk, actor, pool, releasedFolder, signal } = exit;
  const job = jobOf(jobs, code);
  const frames = await lastFrames(exit, job);
  const whole = { ...wanted, requestId: job.requestId, frames };
  const outcome = await releaseOut(desk, actor, whole, { pool, form, releasedFolder, signal });
  const what = `${code} to the ${wanted.to.replace(/^the /, "")} (${wanted.scope}, ${form.name})`;
  if (!outcome.done) return { left: false, line: `${what}: NOT RELEASED. ${outcome.reason}.` };
  return { left: true, line: `${what}: ${frames.length} pictures in ${outcome.value.folder}/` };
}

/** What a careful person answers for these pictures: the print in them is the scale's own, and nothing names anybody. */
async function maskAll({ desk, actor, pool, signal }: Exit, frames: readonly string[]): Promise<number> {
  let covered = 0;
  for (const frameId of frames) {
    const { sha256, proposals } = doneOrThrow(await proposeMask(desk, actor, pool, frameId, signal));
    const isOfScale = (kind: string) => kind === "writing";
    const proposed = proposals.areas.map(
      ({ kind }) => (isOfScale(kind) ? "leave" : "cover") as "leave" | "cover",
    );
    const answers = Object.fromEntries(
      Object.keys(MASK_QUESTIONS).map((kind) => {
        const isProposed = proposals.areas.some((area) => area.kind === kind);
        return [kind, !isProposed ? "not-there" : isOfScale(kind) ? "may-be-seen" : "masked"];
      }),
    );
    const mask = { frameId, proposals: sha256, proposed, areas: [], answers };
    covered += doneOrThrow(await confirmMask(desk, actor, mask)).areas;
  }
  return covered;
}

/** The patient changes their mind: nothing more leaves, and the lecture's pictures are asked back. */
async function withdrawTeaching({ desk, actor }: Exit, job: DemoJob): Promise<string> {
  const { answers } = doneOrThrow(await consentsOf(desk, actor, job.requestId));
  const teaching = answers.find(({ scope }) => scope === "teaching");
  if (!teaching) return `${job.code}: no consent for teaching to withdraw`;
  const withdrawn = doneOrThrow(
    await withdrawConsent(desk, actor, { consentId: teaching.id, by: "the patient" }),
  );
  return `${job.code}: the patient withdraws consent for teaching; to be asked back: ${withdrawn.wentOut.map(({ to, leftAt }) => `${to} (${leftAt.slice(0, 10)})`).join(", ")}`;
}
