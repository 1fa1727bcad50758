import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Actor, addPatient, addRequest, type Desk, doneOrThrow, giveConsent } from "@samescale/desk";
import { CONSENT_SCOPES, type ConsentScope } from "@samescale/practice";
import { renderPicture, standardCamera, standardScene, writePicture } from "@samescale/simulator";

const MARA: Actor = { name: "mara", role: "photographer" };
const RULES = {
  ageOfMajority: 18,
  leapDayBirthday: "03-01",
  tellDaysBefore: 30,
  wordings: CONSENT_SCOPES.map((scope) => ({
    scope,
    version: "1",
    text: `May pictures be used for ${scope}?`,
  })),
} as const;

export interface MadeUpRequest {
  readonly requestId: string;
  readonly frames: readonly string[];
}

/** A patient with a request and two small pictures that are placed in it, camera files and all. */
export async function photographedRequest(desk: Desk, code: string, number: string): Promise<MadeUpRequest> {
  const patient = { number, authority: "H", name: `Patient ${number}`, birthDate: "1958-11-02" };
  const { id: patientId } = doneOrThrow(await addPatient(desk, MARA, patient));
  const { id: requestId } = doneOrThrow(await addRequest(desk, MARA, { code, patientId, kind: "clinical" }));
  const { newId, originals } = desk.library;
  const frames: string[] = [];
  const folder = await mkdtemp(join(tmpdir(), "samescale-made-up-"));
  for (const i of [1, 2]) {
    const id = newId();
    const name = `IMG_${number.slice(-4)}_${i}`;
    const path = join(folder, `${name}.jpg`);
    const camera = standardCamera({ widthPx: 240, heightPx: 160, magnification: 0.1 });
    const seed = Number(number.slice(-5)) + i;
    const rendered = await renderPicture({ scene: standardScene({ things: [] }), camera, seed });
    await writePicture(path, rendered, camera);
    const bytes = await readFile(path);
    const put = await originals.put({
      name,
      read: async function* () {
        yield bytes;
      },
    });
    if (put.state === "unreadable") throw put.error;
    await desk.library.write("photographer:mara", async ({ insert }) => {
      const at = "2026-03-15T09:00:00.000Z";
      const intake = newId();
      await insert("intake", { id: intake, card_path: "/card", begun_at: at, finished_at: at });
      await insert("frame", {
        id,
        intake_id: intake,
        folder: "DCIM",
        name,
        position: i,
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
      await insert("file", {
        sha256: put.sha256,
        bytes: put.bytes,
        format: "jpeg",
        name: `${name}.JPG`,
        frame_id: id,
        info: JSON.stringify({ make: "Invented", model: "Body 1" }),
        stored_at: at,
        kind: null,
      });
      return { value: null, deed: { act: "test.picture", subject: `frame/${id}` } };
    });
    frames.push(id);
  }
  await rm(folder, { recursive: true, force: true });
  return { requestId, frames };
}

/** The patient's own yes for a request. @returns its id */
export async function giveFor(desk: Desk, requestId: string, scope: ConsentScope): Promise<string> {
  const by = { capacity: "patient" } as const;
  const answer = { of: { requestId }, scope, by, rules: RULES, how: "written" } as const;
  return doneOrThrow(await giveConsent(desk, MARA, answer)).id;
}
