import assert from "node:assert/strict";
import { test } from "node:test";
import { orderOfWorklistItem } from "../../src/index.ts";

// DICOM JSON model (PS3.18 annex F), keys of a modality worklist (PS3.4 K.6); people and places are invented.
const ITEM = {
  "00080050": { vr: "SH", Value: ["ACC-5"] },
  "00080090": { vr: "PN", Value: [{ Alphabetic: "Falk^Ines" }] },
  "00100010": { vr: "PN", Value: [{ Alphabetic: "Novak^Jana" }] },
  "00100020": { vr: "LO", Value: ["HN10001"] },
  "00100030": { vr: "DA", Value: ["19580402"] },
  "00321060": { vr: "LO", Value: ["Left foot"] },
  "00401003": { vr: "SH", Value: ["HIGH"] },
  "00400100": {
    vr: "SQ",
    Value: [
      {
        "00080060": { vr: "CS", Value: ["XC"] },
        "00400002": { vr: "DA", Value: ["20260315"] },
        "00400003": { vr: "TM", Value: ["093000"] },
        "00400011": { vr: "SH", Value: ["Clinic 3"] },
      },
    ],
  },
};

test("an answer of a worklist is an order", () => {
  const read = orderOfWorklistItem(ITEM, "Fernhill");
  assert.ok("order" in read);
  const { identifier, patient, priority, dueDate, bookedAt, parts, place, requester } = read.order;
  assert.deepEqual(
    { identifier, patient, priority, dueDate, bookedAt, parts, place, requester },
    {
      identifier: { system: "worklist:Fernhill", value: "ACC-5" },
      patient: {
        number: "HN10001",
        authority: "Fernhill",
        familyName: "Novak",
        givenName: "Jana",
        birthDate: "1958-04-02",
      },
      priority: "urgent",
      dueDate: "2026-03-15",
      bookedAt: "2026-03-15T09:30",
      parts: [{ part: "foot", side: "left" }],
      place: "Clinic 3",
      requester: "Falk Ines",
    },
  );
});

test("an answer for another modality, or that names nobody, is a fault", () => {
  const other = { ...ITEM, "00400100": { Value: [{ "00080060": { Value: ["CT"] } }] } };
  assert.match(JSON.stringify(orderOfWorklistItem(other, "F")), /modality CT/);
  assert.match(JSON.stringify(orderOfWorklistItem({ ...ITEM, "00100020": {} }, "F")), /no patient's number/);
  assert.match(JSON.stringify(orderOfWorklistItem({}, "F")), /without accession number/);
});
