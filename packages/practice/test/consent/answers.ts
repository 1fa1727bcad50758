import type { ConsentAnswer, UseWanted } from "../../src/consent/consent-for.ts";

export const given = (fields: Partial<ConsentAnswer>): ConsentAnswer => ({
  id: "c1",
  scope: "teaching",
  answer: "given",
  capacity: "patient",
  person: null,
  publication: null,
  requestId: "r1",
  frames: null,
  givenAt: "2026-03-01T10:00:00.000Z",
  until: null,
  withdrawnAt: null,
  ...fields,
});

export const wanted = (fields: Partial<UseWanted>): UseWanted => ({
  scope: "teaching",
  at: "2026-03-02T10:00:00.000Z",
  requestId: "r1",
  frameId: "f1",
  publication: null,
  ...fields,
});
