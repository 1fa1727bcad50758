import assert from "node:assert/strict";
import { test } from "node:test";
import { requestDetailsOf, titleOf } from "../../src/index.ts";

const faultsOf = (value: unknown): readonly string[] => {
  const read = requestDetailsOf(value);
  return "faults" in read ? read.faults : [];
};

// The fields: a hospital department's leaflet for staff, trade-facts, addendum.
test("a request carries what departments ask for", () => {
  const read = requestDetailsOf({
    site: "Main building",
    place: "Ward 7",
    requester: { name: "Dr Ines Falk", role: "registrar" },
    parts: [{ part: "lower leg", side: "left", marks: [{ chart: "front", x: 0.6, y: 0.8, note: "ulcer" }] }],
    purpose: "before skin graft",
    dressingsDownAt: "2026-03-15T09:30",
    operation: { what: "skin graft", at: "2026-03-16T08:00" },
    patientIs: "in-patient",
    chaperone: "wanted",
    interpreter: "Portuguese",
    cautions: [{ kind: "latex" }, { kind: "infection", note: "contact precautions" }],
    consentReached: ["health-record"],
    bookedAt: ["2026-03-15T09:30"],
  });
  assert.ok("details" in read);
  assert.equal(titleOf(read.details), "left lower leg: before skin graft");
  const plain = requestDetailsOf({ requester: "Dr Falk", title: "Portrait of the staff" });
  assert.ok("details" in plain);
  assert.deepEqual(plain.details.requester, { name: "Dr Falk" });
  assert.equal(titleOf(plain.details), "Portrait of the staff");
  assert.ok("details" in requestDetailsOf(undefined));
});

test("each fault is told with its field, all at once", () => {
  assert.deepEqual(faultsOf({ ward: "7" }).length, 1);
  assert.match(faultsOf({ ward: "7" })[0] ?? "", /^ward: /);
  assert.match(faultsOf({ parts: [{ part: "foot", side: "lefft" }] })[0] ?? "", /^parts\[1\]\.side: /);
  assert.match(
    faultsOf({ parts: [{ part: "foot", marks: [{ chart: "front", x: 1.5, y: 0 }] }] })[0] ?? "",
    /marks\[1\]\.x/,
  );
  assert.match(faultsOf({ dressingsDownAt: "tomorrow" })[0] ?? "", /^dressingsDownAt: expected a local time/);
  assert.match(faultsOf({ bookedAt: ["2026-02-30T09:00"] })[0] ?? "", /bookedAt\[1\]/);
  assert.equal(faultsOf({ purpose: 7, cautions: "none" }).length, 2);
});

test("what would steer a terminal or turn the direction of reading is refused", () => {
  for (const hostile of ["a\u001b[2Jb", "\u202egnp.exe", "a\u0000b", "one\ntwo"]) {
    assert.match(
      faultsOf({ purpose: hostile })[0] ?? "",
      /^purpose: holds control characters/,
      JSON.stringify(hostile),
    );
  }
  for (const wrong of [null, [], "text", 7]) assert.ok(wrong === null || faultsOf(wrong).length > 0);
  assert.ok(faultsOf({ purpose: "x".repeat(401) }).length > 0);
  assert.ok(faultsOf(JSON.parse('{"__proto__": {"title": "x"}}')).length > 0);
});
