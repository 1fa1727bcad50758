import assert from "node:assert/strict";
import { test } from "node:test";
import { messagesOf } from "../../src/orders/hl7/message.ts";
import { ordersOfHl7 } from "../../src/orders/hl7/orders.ts";

/** An order as ordering systems send it; people and places are invented. */
const ORDER = [
  "MSH|^~\\&|WARDS|FERNHILL|SAMESCALE|PHOTO|20260314101500||OMG^O19^OMG_O19|M-1|P|2.5.1",
  "PID|1||883^^^NATIONAL^NI~HN10001^^^FERNHILL^MR||Novak^Jana^M||19580402|F",
  "PV1|1|I|W7^12^A^MAIN",
  "ORC|NW|PL-77^WARDS|||||||20260314|||4711^Falk^Ines^^^Dr",
  "TQ1|1||||||20260315093000||S",
  "OBR|1|PL-77^WARDS||PHOTO^Clinical photographs^L||||||||LATEX^Latex allergy|Dressings down at 09:15||WND&Wound^^^LEG&Lower leg^LT||||||||||||||||L97^Ulcer of lower limb",
  "NTE|1||Ring bell \\T\\ wait; see 1\\S\\2\\.br\\side room",
].join("\r");

const order = (text: string) => {
  const [read] = ordersOfHl7(text);
  assert.ok(read && "order" in read, JSON.stringify(read));
  return read.order;
};
const fault = (text: string) => {
  const [read] = ordersOfHl7(text);
  assert.ok(read && "fault" in read, JSON.stringify(read));
  return read.fault;
};

test("an order says who, what, where, when and how urgent", () => {
  assert.deepEqual(order(ORDER), {
    what: "request",
    identifier: { system: "WARDS", value: "PL-77" },
    patient: {
      number: "HN10001",
      authority: "FERNHILL",
      familyName: "Novak",
      givenName: "Jana",
      birthDate: "1958-04-02",
    },
    title: "Clinical photographs",
    requester: "Dr Ines Falk",
    site: "MAIN",
    place: "W7",
    patientIs: "in-patient",
    priority: "stat",
    parts: [{ part: "Lower leg", side: "left" }],
    purpose: "Ulcer of lower limb",
    dueDate: "2026-03-15",
    bookedAt: "2026-03-15T09:30",
    notes: ["Danger: Latex allergy", "Dressings down at 09:15", "Ring bell & wait; see 1^2 side room"],
  });
});

// Escapes of HL7 version 2, chapter 2, section 2.7 (from memory): F S T R E, X for hexadecimal; formatting is dropped.
test("escapes are undone once, and one that is not closed stays as it is", () => {
  const [message] = messagesOf("MSH|^~\\&|A\rNTE|1||a\\F\\b\\S\\c\\T\\d\\R\\e\\E\\f\\X41\\g\\H\\h\\\\i\\E");
  const nte = message?.[1];
  assert.equal(nte?.at(3), "a|b^c&d~e\\fAghi\\E");
  assert.equal(nte?.at(9), "");
  assert.equal(nte?.at(3, 2), "");
});

test("other delimiters are those of the header; fields of the header are numbered as the standard does", () => {
  const [message] = messagesOf("MSH#*~\\@#SENDER#PLACE\rPID#1##77***A*MR");
  assert.equal(message?.[0]?.at(1), "#");
  assert.equal(message?.[0]?.at(2), "*~\\@");
  assert.equal(message?.[0]?.at(3), "SENDER");
  assert.equal(message?.[1]?.at(3, 4), "A");
});

test("several orders of a message, several messages of a batch, frames of the lower layer protocol", () => {
  const more = `${ORDER}\rORC|CA|PL-78^WARDS\rOBR|2|PL-78^WARDS||PHOTO^Clinical photographs^L`;
  const batch = `FHS|^~\\&|X\rBHS|^~\\&|X\r\u000b${more}\u001c\r\u000b${ORDER}\u001c\rBTS|2\rFTS|1`;
  const read = ordersOfHl7(batch);
  assert.deepEqual(
    read.map((one) => ("order" in one ? `${one.order.identifier.value} ${one.order.what}` : one.fault)),
    ["PL-77 request", "PL-78 call-off", "PL-77 request"],
  );
});

test("what names nobody, or asks for nothing, is a fault in words; nothing is guessed", () => {
  assert.match(fault("hello"), /no message/);
  assert.match(fault(ORDER.replace("OMG^O19^OMG_O19", "ADT^A01")), /is ADT\^A01, not an order/);
  assert.match(
    fault(ORDER.replace("HN10001^^^FERNHILL^MR", "HN10001").replace("883^^^NATIONAL^NI~", "")),
    /PID-3/,
  );
  assert.match(fault(ORDER.replace("Novak^Jana^M", "^Jana")), /PID-5/);
  assert.match(fault(ORDER.replace("19580402", "19581340")), /PID-7 is no date: 19581340/);
  assert.match(fault(ORDER.replaceAll("PL-77^WARDS", "")), /without a placer's number/);
  assert.match(fault(ORDER.replace("ORC|NW", "ORC|ZZ")), /control code is ZZ/);
  assert.match(fault(ORDER.slice(0, ORDER.indexOf("\rORC"))), /no order in it/);
  assert.match(fault(`${ORDER.slice(0, ORDER.indexOf("\rOBR"))}`), /no OBR/);
});

test("hostile and broken text does no harm", () => {
  for (const text of [
    "MSH",
    "MSH|",
    "MSH|^~\\&",
    `MSH|^~\\&${"|".repeat(5000)}`,
    "MSH|^~\\&\rPID",
    "\u0000\u000b\u001c",
  ]) {
    assert.equal(ordersOfHl7(text).length > 0, true);
  }
  const injected = order(ORDER.replace("Novak", "Novak\\X0D\\PID|2||HN99999^^^FERNHILL^MR"));
  assert.equal(injected.patient?.number, "HN10001");
});
