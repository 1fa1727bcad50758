/** Run and killed by a test: makes the library if need be, its requests, and takes a card in. */
// Past the index: a run starts faster with only what it needs.
import { openDesk } from "../../src/desk.ts";
import { takeIn } from "../../src/intake/take-in.ts";
import { addPatient } from "../../src/patients/add-patient.ts";
import { addRequest } from "../../src/requests/add-request.ts";
import { MARA, madeUpPictures, NOON } from "../made-up.ts";

const [folder = "", card = ""] = process.argv.slice(2);
process.stdout.write("begun\n");
const desk = await openDesk(folder, { clock: () => NOON });
for (const [number, code] of [
  ["HN10001", "R-1"],
  ["HN20002", "R-2"],
] as const) {
  // Refused when an earlier run came as far as this.
  await addPatient(desk, MARA, { number, authority: "H", name: number, birthDate: null });
  const patient = await desk.library.read
    .selectFrom("patient")
    .select("id")
    .where("number", "=", number)
    .executeTakeFirstOrThrow();
  await addRequest(desk, MARA, { code, patientId: patient.id, kind: "clinical" });
}
const secondPlace = { is: "folder", path: "../second" } as const;
for await (const line of takeIn({
  desk,
  actor: MARA,
  cards: [card],
  pictures: madeUpPictures,
  secondPlace,
})) {
  process.stdout.write(`${JSON.stringify(line)}\n`);
}
await desk.close();
