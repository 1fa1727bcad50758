import { cp } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import {
  type Actor,
  addPatient,
  addRequest,
  type Desk,
  doneOrThrow,
  openVisit,
  planRequest,
  readPracticeFolder,
} from "@samescale/desk";
import type { Plan, Practice } from "@samescale/practice";
import type { DemoManifest } from "@samescale/simulator";
import { askForConsent } from "./consents.ts";
import { everyCard } from "./take-cards.ts";

/** Who gave the invented patients their numbers. */
export const AUTHORITY = "Fernhill Infirmary (invented)";

/** A request of the demonstration, as it stands in the library. */
export interface DemoJob {
  readonly requestId: string;
  readonly code: string;
  readonly title: string;
  readonly plan: Plan;
  /** By day. */
  readonly visits: ReadonlyMap<string, string>;
}

/** The invented department's rules, put into the library as a real department would keep them. */
export async function demoPractice(folder: string): Promise<Practice> {
  await cp(fileURLToPath(new URL("../../demo-practice", import.meta.url)), folder, { recursive: true });
  return readPracticeFolder(folder);
}

/** Writes patients, requests, visits and plans into the library, as the desk would on the days before. */
export async function admit(
  desk: Desk,
  actor: Actor,
  manifest: DemoManifest,
  practice: Practice,
): Promise<readonly DemoJob[]> {
  const patientIds = new Map<string, string>();
  for (const patient of manifest.department.patients) {
    const added = await addPatient(desk, actor, {
      number: patient.number,
      authority: AUTHORITY,
      name: `${patient.givenName} ${patient.familyName}`,
      birthDate: patient.born,
      details: { familyName: patient.familyName, givenName: patient.givenName },
    });
    patientIds.set(patient.number, doneOrThrow(added).id);
  }
  const jobs: DemoJob[] = [];
  for (const request of manifest.department.requests) {
    const patientId = request.patientNumber === null ? null : (patientIds.get(request.patientNumber) ?? null);
    const title = `${request.part}: ${request.purpose}`;
    const added = await addRequest(desk, actor, {
      code: request.code,
      patientId,
      kind: patientId === null ? "non-clinical" : "clinical",
      dueDate: request.visitDates[0] ?? null,
      details: { title, requester: request.requester, bookedAt: bookedAt(manifest, request.code) },
    });
    const { id: requestId } = doneOrThrow(added);
    const asked = { requestId, code: request.code, isClinical: patientId !== null };
    await askForConsent(desk, actor, asked, practice.consent);
    const plan = doneOrThrow(
      await planRequest(
        desk,
        actor,
        { requestId, viewSetKey: request.viewSet, wishes: { place: request.place } },
        practice,
      ),
    );
    const visits = new Map<string, string>();
    for (const date of request.visitDates) {
      visits.set(date, doneOrThrow(await openVisit(desk, actor, { requestId, date })).id);
    }
    jobs.push({ requestId, code: request.code, title, plan, visits });
  }
  return jobs;
}

/** The appointment book: visits were booked for the quarter of an hour in which they really began. */
function bookedAt(manifest: DemoManifest, code: string): string[] {
  const begun = everyCard(manifest)
    .flatMap((card) => card.frames)
    .filter((frame) => frame.shows === "label" && frame.requestCode === code);
  return begun.map(({ trueTakenAt }) => {
    const quarter = Math.floor(Number(trueTakenAt.slice(14, 16)) / 15) * 15;
    return `${trueTakenAt.slice(0, 14)}${String(quarter).padStart(2, "0")}:00`;
  });
}
