import { existsSync } from "node:fs";
import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { PicturePool } from "@samescale/picture";
import { CONSENT_SCOPES } from "@samescale/practice";
import { sha256Of } from "@samescale/record";
import type { Actor, Role } from "../../../src/act/actor.ts";
import { jsonText } from "../../../src/act/json.ts";
import type { NewAnswer } from "../../../src/consent/answer.ts";
import type { Giver } from "../../../src/consent/giver.ts";
import {
  addPatient,
  addRequest,
  addResearchProject,
  type Desk,
  doneOrThrow,
  openDesk,
  type ReleaseForm,
  type ReleaseWanted,
  releaseOut,
} from "../../../src/index.ts";
import { PROPOSED_STEP } from "../../../src/release/masks/mask-in-force.ts";
import { addPerson } from "../../people/support.ts";
import { RULES } from "../support.ts";
import { type Asked, BORN, LABEL, NAMES, PATIENT_OF_REQUEST, PEOPLE, PICTURES } from "./acts.ts";
import { publicationOf } from "./literal-model.ts";

/** The desk over a small library, whose clock somebody else holds; ids by the numbers of the acts. */
export interface World {
  readonly desk: Desk;
  readonly keeper: Actor;
  readonly administrator: Actor;
  readonly patients: readonly string[];
  readonly requests: readonly string[];
  readonly pictures: readonly string[];
  /** SHA-256 of the original of each picture. */
  readonly originals: readonly string[];
  /** Sign-in names and accounts. */
  readonly people: readonly { readonly login: string; readonly name: string; readonly id: string }[];
  readonly released: string;
  /** Ids, by the number of the act that brought them. */
  readonly answers: Map<number, string>;
  readonly portrayed: Map<number, string>;
  /** Ids in the order in which they left. */
  readonly releases: string[];
  /** SHA-256 of what somebody is shown before masks of each picture are confirmed. */
  readonly proposals: readonly string[];
  close(): Promise<void>;
}

/** Of these files nothing has to outlive the test: in memory where the machine has a folder for that. */
const PLACE = existsSync("/dev/shm") ? "/dev/shm" : tmpdir();

/** A place in memory that is gone when `close` was called. */
export async function makeWorld(clock: () => Date): Promise<World> {
  const folder = await mkdtemp(join(PLACE, "samescale-acts-"));
  const desk = await openDesk(join(folder, "library"), { clock });
  const first: Actor = { name: "first", role: "lead" };
  const patients: string[] = [];
  for (const [i, birthDate] of BORN.entries()) {
    const patient = { number: `HN${i}0000${i}`, authority: "H", name: `Invented Patient ${i}`, birthDate };
    patients.push(doneOrThrow(await addPatient(desk, first, patient)).id);
  }
  const requests: string[] = [];
  for (const [i, patient] of PATIENT_OF_REQUEST.entries()) {
    const patientId = patient === null ? null : patients[patient]!;
    const kind = patientId === null ? "non-clinical" : "clinical";
    requests.push(doneOrThrow(await addRequest(desk, first, { code: `R-${i}`, patientId, kind })).id);
  }
  doneOrThrow(await addResearchProject(desk, first, { name: "Study" }));
  const { pictures, originals, proposals } = await takePictures(desk, requests);
  const people: { login: string; name: string; id: string }[] = [];
  for (let i = 0; i < PEOPLE; i++) {
    const { name, personId: id } = await addPerson(desk, `p${i}`, i === 1 ? "lead" : "photographer");
    people.push({ login: `p${i}`, name, id });
  }
  return {
    desk,
    keeper: await addPerson(desk, "keeper", "lead"),
    administrator: await addPerson(desk, "admin", "administrator"),
    patients,
    requests,
    pictures,
    originals,
    people,
    released: join(folder, "released"),
    answers: new Map(),
    portrayed: new Map(),
    releases: [],
    proposals,
    async close() {
      await desk.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** All pictures at once, one of them of a label, and what somebody is shown before masks are confirmed. */
async function takePictures(
  desk: Desk,
  requests: readonly string[],
): Promise<Pick<World, "pictures" | "originals" | "proposals">> {
  const { newId, originals: store } = desk.library;
  const pictures = Array.from({ length: PICTURES }, () => newId());
  const originals: string[] = [];
  for (let i = 0; i < PICTURES; i++) {
    const read = async function* () {
      yield Buffer.from(`original ${i}`);
    };
    const put = await store.put({ name: `IMG_${i}.JPG`, read });
    if (put.state === "unreadable") throw put.error;
    originals.push(put.sha256);
  }
  const proposals: string[] = [];
  const at = "2026-03-15T09:00:00.000Z";
  const intake = newId();
  await desk.library.write("test", async ({ insert }) => {
    await insert("intake", { id: intake, card_path: "/card", begun_at: at, finished_at: at });
    for (const [i, id] of pictures.entries()) {
      const original = originals[i]!;
      await insert("frame", {
        id,
        intake_id: intake,
        folder: "DCIM",
        name: `IMG_${i}`,
        position: i + 1,
        kind: i === LABEL ? "label" : "picture",
        taken_raw: null,
        taken_camera: null,
        clock: "none",
        codes: null,
        request_id: requests[i % requests.length]!,
        placed_by: "person",
        placing: "made up",
        flags: "[]",
      });
      const file = { sha256: original, bytes: `original ${i}`.length, format: "jpeg", kind: null };
      await insert("file", { ...file, name: `IMG_${i}.JPG`, frame_id: id, info: null, stored_at: at });
      const body = jsonText({ original, widthPx: 4, heightPx: 3, areas: [], looked: [] });
      proposals.push(sha256Of(body));
      await insert("mask", {
        id: newId(),
        frame_id: id,
        request_id: null,
        recipe: JSON.stringify({ step: PROPOSED_STEP, version: 1, parameters: {} }),
        inputs: JSON.stringify([original]),
        body,
        sha256: proposals[i]!,
        made_at: at,
      });
    }
    return { value: null, deed: { act: "test.pictures", subject: `intake/${intake}` } };
  });
  return { pictures, originals, proposals };
}

export const actorIn = ({ people }: World, person: number, role: Role): Actor => {
  const { id, name } = people[person]!;
  return { name, role, personId: id };
};

/** Pictures without pixels: what is asked here is what leaves, not how it looks. */
const pool = {
  threads: 1,
  async run(_task: string, { sha256 }: { readonly sha256: string }) {
    const jpeg = Buffer.from(`picture of ${sha256}`);
    return { made: true, jpeg, widthPx: 4, heightPx: 3, pxPerOriginalPx: 1, masked: 0, codes: [] };
  },
  async close() {},
} as unknown as PicturePool;

/** The cheapest form: each picture, or in evidence the original itself. */
const cheap: ReleaseForm = {
  name: "cheap",
  scopes: CONSENT_SCOPES,
  async *files({ frames, evidence }) {
    for (const { name, frameId, original, originals, picture } of frames) {
      const bytes = evidence === null ? (await picture()).jpeg : originals[0]!.open();
      yield { name: `${name}.jpg`, bytes, frameId, original };
    }
  },
};

/** A way out: it is given what somebody wants, and what it has let out lies in `released`. */
export type Exit = (
  world: Pick<World, "desk" | "released" | "releases">,
  actor: Actor,
  wanted: ReleaseWanted,
) => Promise<
  { readonly done: true; readonly id: string } | { readonly done: false; readonly reason: string }
>;

/** The single exit. */
export const theExit: Exit = async ({ desk, released }, actor, wanted) => {
  const outcome = await releaseOut(desk, actor, wanted, { pool, form: cheap, releasedFolder: released });
  return outcome.done ? { done: true, id: outcome.value.id } : outcome;
};

/** What lies in the released folder, by its first names; what waits has not left. */
export async function foldersIn({ released }: Pick<World, "released">): Promise<string[]> {
  const names = await readdir(released).catch(() => []);
  return names.filter((name) => name !== ".waiting");
}

/** What waits to leave, when nothing is going on. */
export async function waitingIn({ released }: World): Promise<string[]> {
  return await readdir(join(released, ".waiting")).catch(() => []);
}

/** Which pictures lie in a released folder, by the bytes of its files alone; and all other text in it. */
export async function seenIn(world: World, folder: string): Promise<{ pictures: number[]; text: string }> {
  const pictures: number[] = [];
  let text = "";
  const entries = await readdir(join(world.released, folder), { withFileTypes: true, recursive: true });
  for (const entry of entries) {
    if (!entry.isFile()) continue;
    const bytes = await readFile(join(entry.parentPath, entry.name), "utf8");
    const [, original] = /^original (\d+)$/.exec(bytes) ?? [];
    const [, sha256] = /^picture of ([0-9a-f]{64})$/.exec(bytes) ?? [];
    if (original !== undefined) pictures.push(Number(original));
    else if (sha256 !== undefined) pictures.push(world.originals.indexOf(sha256));
    else text += bytes;
  }
  return { pictures: pictures.sort((a, b) => a - b), text };
}

/** The question as the desk wants it asked. */
export function answerTo(world: World, asked: Asked, now: number): NewAnswer {
  const { of, scope, publication, capacity, pictures, hoursAgo, untilInDays } = asked;
  const isNonClinical = "request" in of && PATIENT_OF_REQUEST[of.request] === null;
  const person = isNonClinical ? { person: NAMES[of.name]! } : {};
  const named = publicationOf(publication);
  return {
    of:
      "request" in of
        ? { requestId: world.requests[of.request]!, ...person }
        : { patientId: world.patients[of.patient]! },
    scope,
    by: giverIn(capacity),
    rules: RULES,
    how: "written",
    assessed: { by: "Dr Example", found: "as assessed" },
    ...(pictures !== null && { frames: pictures.map((i) => world.pictures[i]!) }),
    ...(named !== null && { publication: named }),
    ...(hoursAgo > 0 && { givenAt: new Date(now - hoursAgo * 3_600_000).toISOString() }),
    ...(untilInDays !== null && {
      until: new Date(now + untilInDays * 86_400_000).toISOString().slice(0, 10),
    }),
  };
}

function giverIn(capacity: Asked["capacity"]): Giver {
  switch (capacity) {
    case "patient":
      return { capacity };
    case "parental-responsibility":
      return { capacity, name: "A Parent", relation: "father", child: "agrees" };
    case "best-interest":
      return { capacity, name: "Dr Example", policy: "policy 3", askAgainOn: null };
    case "legal-basis":
      return { capacity, name: "An officer", basis: "order 7" };
  }
}
