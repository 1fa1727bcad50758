import assert from "node:assert/strict";
import { test } from "node:test";
import {
  addPatient,
  addRequest,
  dayAtDesk,
  doneOrThrow,
  planRequest,
  practiceFolderFor,
  readPracticeFolder,
  refuseConsent,
} from "../../src/index.ts";
import { freshDesk, MARA } from "../support.ts";

const practice = await readPracticeFolder(await practiceFolderFor(undefined, null));
const NONE = new Map<string, string>();

test("each request says what it lacks and what is next; whoever asked sees how far it is and nothing of the work", async (t) => {
  const desk = await freshDesk(t);
  const day = desk.library.clock().toISOString().slice(0, 10);
  const { id: patientId } = doneOrThrow(
    await addPatient(desk, MARA, {
      number: "HN1",
      authority: "H",
      name: "Ada",
      birthDate: `${Number(day.slice(0, 4)) - 9}-01-01`,
    }),
  );
  const asked = { patientId, kind: "clinical", dueDate: day } as const;
  const details = {
    bookedAt: [`${day}T11:00`, `${day}T09:00`],
    cautions: [{ kind: "flash", note: "seizures" }],
    place: "Ward 2",
  };
  const { id: requestId } = doneOrThrow(await addRequest(desk, MARA, { ...asked, code: "R-1", details }));
  const at = async () => (await dayAtDesk(desk, MARA, practice, day, NONE))[0]!;

  const first = await at();
  assert.deepEqual([first.when, first.times, first.place], ["today", ["09:00", "11:00"], "Ward 2"]);
  assert.deepEqual(first.cautions, ["Flash: seizures"]);
  assert.deepEqual(
    first.missing.map(({ what }) => what),
    ["plan", "consent"],
  );
  assert.match(first.missing[1]!.says, /a child: whoever has parental responsibility/);
  assert.equal(first.next, "plan");

  doneOrThrow(
    await planRequest(desk, MARA, { requestId, viewSetKey: "wound", wishes: { side: "left" } }, practice),
  );
  assert.equal((await at()).next, "consent");
  doneOrThrow(
    await refuseConsent(desk, MARA, {
      of: { requestId },
      scope: "health-record",
      by: { capacity: "parental-responsibility", name: "Bea", relation: "mother", child: "agrees" },
      rules: practice.consent,
      how: "spoken",
    }),
  );
  const refused = await at();
  assert.deepEqual([refused.missing[0]!.what, refused.next], ["refused", "consent"]);

  const asker = { name: "Dr Who", role: "requester", personId: "nobody" } as const;
  assert.deepEqual(await dayAtDesk(desk, asker, practice, day, NONE), []);
  const auditor = { name: "Aud", role: "auditor" } as const;
  const [seen] = await dayAtDesk(desk, auditor, practice, day, NONE);
  assert.deepEqual([seen?.missing, seen?.next], [[], "look"]);
});
