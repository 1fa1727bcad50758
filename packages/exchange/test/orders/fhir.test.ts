import assert from "node:assert/strict";
import { test } from "node:test";
import { ordersOfFhir } from "../../src/orders/fhir-orders.ts";
import { ordersOfFile } from "../../src/orders/orders-of-file.ts";

/** Elements as FHIR R4 (4.0.1) names them; people and places are invented. */
const PATIENT = {
  resourceType: "Patient",
  id: "p1",
  identifier: [
    { system: "urn:national", value: "883" },
    {
      type: { coding: [{ system: "http://terminology.hl7.org/CodeSystem/v2-0203", code: "MR" }] },
      system: "urn:fernhill",
      value: "HN10001",
      assigner: { display: "Fernhill" },
    },
  ],
  name: [
    { use: "old", family: "Dvorak" },
    { use: "official", family: "Novak", given: ["Jana", "M"] },
  ],
  birthDate: "1958-04-02",
};
const REQUEST = {
  resourceType: "ServiceRequest",
  id: "s1",
  identifier: [{ system: "urn:orders", value: "PL-77" }],
  status: "active",
  intent: "order",
  priority: "urgent",
  code: { text: "Clinical photographs" },
  subject: { reference: "Patient/p1" },
  occurrenceDateTime: "2026-03-15T09:30:00+01:00",
  requester: { display: "Dr Ines Falk" },
  locationReference: [{ display: "Ward 7" }],
  reasonCode: [{ text: "Before skin graft" }],
  bodySite: [{ coding: [{ display: "Left lower leg" }] }, { text: "Sacrum" }],
  note: [{ text: "Dressings down at 09:15" }],
};
const bundle = (request: object, patient: object | null = PATIENT) => ({
  resourceType: "Bundle",
  type: "collection",
  entry: [{ resource: request }, ...(patient ? [{ resource: patient }] : [])],
});
const fault = (value: unknown) => {
  const [read] = ordersOfFhir(value);
  assert.ok(read && "fault" in read, JSON.stringify(read));
  return read.fault;
};

test("a bundle of request and patient is an order", () => {
  assert.deepEqual(ordersOfFhir(bundle(REQUEST)), [
    {
      order: {
        what: "request",
        identifier: { system: "urn:orders", value: "PL-77" },
        patient: {
          number: "HN10001",
          authority: "Fernhill",
          familyName: "Novak",
          givenName: "Jana M",
          birthDate: "1958-04-02",
        },
        title: "Clinical photographs",
        requester: "Dr Ines Falk",
        site: null,
        place: "Ward 7",
        patientIs: null,
        priority: "urgent",
        parts: [
          { part: "lower leg", side: "left" },
          { part: "Sacrum", side: "none" },
        ],
        purpose: "Before skin graft",
        dueDate: "2026-03-15",
        bookedAt: "2026-03-15T09:30",
        notes: ["Dressings down at 09:15"],
      },
    },
  ]);
});

test("the patient may be contained, or named by a full URL", () => {
  const contained = { ...REQUEST, subject: { reference: "#p1" }, contained: [PATIENT] };
  assert.ok("order" in (ordersOfFhir(contained)[0] ?? {}));
  const urls = {
    resourceType: "Bundle",
    entry: [
      { resource: { ...REQUEST, subject: { reference: "urn:uuid:1" } } },
      { fullUrl: "urn:uuid:1", resource: PATIENT },
    ],
  };
  assert.ok("order" in (ordersOfFhir(urls)[0] ?? {}));
  assert.equal(
    (ordersOfFhir(bundle({ ...REQUEST, status: "revoked" }))[0] as { order: { what: string } }).order.what,
    "call-off",
  );
});

test("what names nobody, or asks for nothing, is a fault in words; nothing is guessed", () => {
  assert.match(fault({ resourceType: "Patient" }), /no ServiceRequest/);
  assert.match(
    fault(bundle({ ...REQUEST, identifier: [{ value: "PL-77" }] })),
    /no identifier with system and value/,
  );
  assert.match(fault(bundle({ ...REQUEST, status: "draft" })), /status is draft/);
  assert.match(fault(bundle({ ...REQUEST, intent: "proposal" })), /intent is proposal/);
  assert.match(fault(bundle(REQUEST, null)), /Patient\/p1 is not in the file/);
  assert.match(fault(bundle(REQUEST, { ...PATIENT, identifier: [{ value: "HN1" }] })), /authority/);
  assert.match(fault(bundle(REQUEST, { ...PATIENT, name: [] })), /no family name/);
  assert.match(fault(bundle(REQUEST, { ...PATIENT, birthDate: "1958" })), /not a whole date: 1958/);
  assert.match(fault(bundle({ ...REQUEST, occurrenceDateTime: "soon" })), /occurrence is no date/);
  assert.match(fault(bundle({ ...REQUEST, identifier: "PL-77" })), /cannot be read/);
});

test("a file is read by what it holds, and refused in words when it is neither", () => {
  const bytes = (text: string, encoding: BufferEncoding = "utf8") => Buffer.from(text, encoding);
  assert.ok("order" in (ordersOfFile(bytes(JSON.stringify(bundle(REQUEST))))[0] ?? {}));
  const hl7 = (charset: string) =>
    `MSH|^~\\&|W|F|||20260314||ORM^O01|1|P|2.5.1||||||${charset}\rPID|1||7^^^F||Nov\u00e1k\rORC|NW|1^W\rOBR|1|1^W||X`;
  const [latin] = ordersOfFile(bytes(hl7("8859/1"), "latin1"));
  assert.equal(latin && "order" in latin && latin.order.patient?.familyName, "Nov\u00e1k");
  const [utf8] = ordersOfFile(bytes(hl7("UNICODE UTF-8")));
  assert.equal(utf8 && "order" in utf8 && utf8.order.patient?.familyName, "Nov\u00e1k");
  assert.throws(() => ordersOfFile(bytes(hl7(""), "latin1")), /not UTF-8/);
  for (const text of ["", "hello", "<xml/>", "{", `{"a":${"[".repeat(100_000)}`]) {
    assert.throws(() => ordersOfFile(bytes(text)), { code: "ORDER_FILE_UNREADABLE" });
  }
  assert.match(JSON.stringify(ordersOfFile(bytes("[]"))), /no ServiceRequest/);
});
