import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { type Known, type Matchable, matchFrames } from "../../src/intake/match.ts";

/** Two patients and a non-clinical request. */
const REQUESTS = [
  { id: "leg", code: "R-1", patientNumber: "HN10001" },
  { id: "hand", code: "R-2", patientNumber: "HN20002" },
  { id: "portrait", code: "R-3", patientNumber: null },
];

const known: Known = {
  requestByCode: (code) => REQUESTS.find((request) => request.code === code) ?? null,
  isPatientNumber: (text) => ["HN10001", "HN20002", "HN30003"].includes(text),
};

interface Shot {
  readonly codes?: readonly string[] | null;
  /** Minutes after nine. */
  readonly at?: number | null;
  readonly folder?: string;
  readonly name?: string;
  readonly camera?: string | null;
}

const shot = (codes: readonly string[] | null = [], more: Shot = {}): Shot => ({ codes, ...more });

function frames(shots: readonly Shot[]): Matchable[] {
  return shots.map((one, at) => ({
    id: String(at),
    folder: one.folder ?? "DCIM/100CLINI",
    name: one.name ?? `DSC_${String(at + 1).padStart(4, "0")}`,
    camera: one.camera === undefined ? "body one" : one.camera,
    codes: one.codes === undefined ? [] : one.codes,
    taken: one.at === null ? null : clock(one.at ?? at),
  }));
}

const clock = (minutes: number) =>
  new Date(Date.UTC(2026, 2, 15, 9, 0, minutes * 60)).toISOString().slice(0, 19);

/** The request of each frame in the order given, `-` where it is unplaced. */
function placed(...shots: readonly Shot[]): string {
  const placings = matchFrames(frames(shots), known);
  return shots.map((_, at) => placings.get(String(at))?.requestId ?? "-").join(" ");
}

function because(at: number, ...shots: readonly Shot[]): string {
  return matchFrames(frames(shots), known).get(String(at))?.because ?? "";
}

const LEG = "SR1:R-1:HN10001";
const HAND = "SR1:R-2:HN20002";

test("frames behind a label frame belong to its request until the next label frame", () => {
  assert.equal(placed(shot([LEG]), shot(), shot(), shot([HAND]), shot()), "leg leg leg hand hand");
  assert.match(because(1, shot([LEG]), shot()), /^After the label frame DSC_0001 of request R-1$/);
});

test("frames before the first label frame are not given to the patient who comes next", () => {
  assert.equal(placed(shot(), shot(), shot([LEG]), shot()), "- - leg leg");
  assert.equal(because(0, shot(), shot([LEG])), "No label frame before it");
});

test("the label frame itself is marked, and says which two identifiers agreed", () => {
  assert.deepEqual(matchFrames(frames([shot([LEG])]), known).get("0"), {
    requestId: "leg",
    isLabel: true,
    because: "Label frame: request R-1 and the patient's number agree",
  });
  assert.match(because(0, shot(["SR1:R-1", "HN10001"])), /agree/);
});

test("one identifier places nothing where there is a patient; a request without one has its code only", () => {
  assert.equal(placed(shot([HAND]), shot(["SR1:R-1"]), shot(), shot([LEG]), shot()), "hand - - leg leg");
  const only = "It names request R-1 only: the patient's number must agree with it";
  assert.equal(because(0, shot(["SR1:R-1"])), only);
  assert.equal(
    because(1, shot(["SR1:R-1"]), shot()),
    `The label frame DSC_0001 before it: ${only.replace("It", "it")}`,
  );
  assert.equal(placed(shot(["SR1:R-3"]), shot()), "portrait portrait");
  assert.match(because(0, shot(["SR1:R-3"])), /request R-3, which has no patient; its code says it/);
});

test("the same patient twice: each label frame opens its own request, and the first one can come again", () => {
  const KNEE = "SR1:R-4:HN10001";
  const two: Known = {
    ...known,
    requestByCode: (code) =>
      code === "R-4" ? { id: "knee", code, patientNumber: "HN10001" } : known.requestByCode(code),
  };
  const shots = [shot([LEG]), shot(["HN10001"]), shot([KNEE]), shot(), shot([LEG]), shot(["HN10001"])];
  const placings = matchFrames(frames(shots), two);
  assert.deepEqual(
    shots.map((_, at) => placings.get(String(at))?.requestId),
    ["leg", "leg", "knee", "knee", "leg", "leg"],
  );
});

test("the closing label frame of the same request changes nothing", () => {
  assert.equal(placed(shot([LEG]), shot(), shot([LEG]), shot(["HN10001"]), shot()), "leg leg leg leg leg");
});

for (const [what, codes] of [
  ["a number that is another patient's", ["SR1:R-1:HN20002"]],
  ["a number that nobody has", ["SR1:R-1:HN99999"]],
  ["a number where the request has no patient", ["SR1:R-3:HN10001"]],
  ["a request that nobody knows", ["SR1:R-77:HN10001"]],
  ["two different requests", [LEG, HAND]],
  ["the right request beside the number of another patient", ["SR1:R-1", "HN30003"]],
  ["the right request beside a number that looks like a patient's", ["SR1:R-1", "HN99999"]],
  ["a form of a later version", ["SR2:R-1:HN10001"]],
  ["a code that is cut off", ["SR1:"]],
  ["an empty number", ["SR1:R-1: "]],
] as const) {
  test(`a label with ${what} places nothing, neither itself nor what follows, nor to the patient before`, () => {
    assert.equal(placed(shot([HAND]), shot(), shot(codes), shot(), shot([LEG])), "hand hand - - leg");
    assert.notEqual(because(2, shot([HAND]), shot(), shot(codes)), "");
  });
}

test("a stranger's wristband in the middle ends the section", () => {
  assert.equal(
    placed(shot([LEG]), shot(), shot(["HN30003"]), shot(), shot([LEG]), shot()),
    "leg leg - - leg leg",
  );
  assert.equal(placed(shot([LEG]), shot(["HN77777"]), shot()), "leg - -");
  assert.equal(placed(shot(["SR1:R-3"]), shot(["HN10001"]), shot()), "portrait - -");
});

test("codes on dressings and scales say nothing about the patient", () => {
  assert.equal(placed(shot([LEG]), shot(["4006381333931", "LOT 2291-A"]), shot()), "leg leg leg");
});

test("a patient's number without a request code is left to a person", () => {
  assert.equal(placed(shot(["HN10001"]), shot()), "- -");
  assert.match(because(1, shot(["HN10001"]), shot()), /choose the request by hand/);
});

test("behind a picture that could not be looked at nothing is placed: it may have been a label frame", () => {
  assert.equal(placed(shot([LEG]), shot(null), shot(), shot([LEG]), shot()), "leg - - leg leg");
});

test("a long pause without a new label frame ends the session; a short one does not", () => {
  assert.equal(placed(shot([LEG], { at: 0 }), shot([], { at: 60 }), shot([], { at: 121 })), "leg leg -");
  assert.match(because(1, shot([LEG], { at: 0 }), shot([], { at: 90 })), /pause of 90 min before DSC_0002/);
});

test("a clock that jumped back in the middle moves no frame to another patient", () => {
  const jumped = [
    shot([LEG], { at: 10 }),
    shot([], { at: 11 }),
    shot([HAND], { at: 12 }),
    shot([], { at: -500 }), // hand, by number; before everything, by clock
    shot([], { at: -499 }),
  ];
  assert.equal(placed(...jumped), "leg leg hand - -");
});

test("clock and numbers that disagree within one patient do no harm", () => {
  assert.equal(placed(shot([LEG], { at: 0 }), shot([], { at: 3 }), shot([], { at: 2 })), "leg leg leg");
});

test("without any times the file numbers alone order the card", () => {
  const timeless = [shot([LEG]), shot(), shot([HAND]), shot()].map((one) => ({ ...one, at: null }));
  assert.equal(placed(...timeless), "leg leg hand hand");
});

test("numbers that start again behind 9999 keep their order", () => {
  const named = (name: string, codes: readonly string[] = []) => shot(codes, { name, at: null });
  assert.equal(
    placed(
      named("DSC_9998", [LEG]),
      named("DSC_9999"),
      named("DSC_0001"),
      named("DSC_0002", [HAND]),
      named("DSC_0003"),
    ),
    "leg leg leg hand hand",
  );
  const timed = [
    shot([LEG], { name: "DSC_9999", at: 0 }),
    shot([], { name: "DSC_0001", at: 1 }),
    shot([HAND], { name: "DSC_0002", at: 2 }),
  ];
  assert.equal(placed(...timed), "leg leg hand");
});

test("a wide gap in the numbers that the clock does not take for a new start is none", () => {
  const gap = [
    shot([LEG], { name: "DSC_0001", at: 0 }),
    shot([], { name: "DSC_0002", at: 1 }),
    shot([], { name: "DSC_9000", at: 2 }),
  ];
  assert.equal(placed(...gap), "leg leg leg");
});

test("a section goes on into the camera's next folder, and into no other", () => {
  const first = { folder: "DCIM/100CLINI", name: "DSC_9999" };
  const labelled = shot([LEG], { ...first, at: 0 });
  const next = { folder: "DCIM/101CLINI", name: "DSC_0001" };
  assert.equal(placed(labelled, shot([], { ...next, at: 1 })), "leg leg");
  assert.equal(placed(labelled, shot([], { ...next, folder: "DCIM/102CLINI", at: 1 })), "leg -");
  assert.equal(placed(labelled, shot([], { ...next, folder: "DCIM/101OTHER", at: 1 })), "leg -");
  assert.equal(placed(labelled, shot([], { ...next, folder: "OTHER/101CLINI", at: 1 })), "leg -");
  assert.equal(placed(labelled, shot([], { ...next, at: null })), "leg -");
  assert.equal(placed(labelled, shot([], { ...next, at: -1 })), "leg -");
});

test("two cameras in one folder are two streams: neither's label places the other's frames", () => {
  const second = { camera: "body two" };
  assert.equal(
    placed(shot([LEG]), shot([], second), shot(), shot([HAND], second), shot(), shot([], second)),
    "leg - leg hand leg hand",
  );
});

test("a frame that does not say which camera took it is that of the only camera, and of nobody among several", () => {
  const unknown = { camera: null };
  assert.equal(placed(shot([LEG]), shot([], unknown), shot()), "leg leg leg");
  assert.equal(placed(shot([LEG], unknown), shot([], unknown)), "leg leg");
  const second = { camera: "body two" };
  assert.equal(
    placed(shot([LEG]), shot([HAND], second), shot([], unknown), shot(), shot([], second)),
    "leg hand - - -",
  );
});

test("whatever is on the card, a frame is only ever given to a request whose label frame it follows", () => {
  const code = fc.constantFrom(
    LEG,
    HAND,
    "SR1:R-3",
    "SR1:R-1",
    "SR1:R-2:HN10001",
    "SR1:X",
    "HN10001",
    "HN30003",
    "4006381333931",
  );
  const anyShot = fc.record({
    codes: fc.option(fc.array(code, { maxLength: 2 }), { nil: null, freq: 8 }),
    at: fc.option(fc.integer({ min: -200, max: 200 }), { nil: null, freq: 4 }),
    camera: fc.constantFrom("body one", "body one", "body two", null),
    folder: fc.constantFrom("DCIM/100CLINI", "DCIM/100CLINI", "DCIM/101CLINI", "loose"),
  });
  fc.assert(
    fc.property(fc.array(anyShot, { maxLength: 14 }), (shots) => {
      const all = frames(shots);
      const several = new Set(all.map((one) => one.camera).filter((camera) => camera !== null)).size > 1;
      for (const [id, placing] of matchFrames(all, known)) {
        const frame = all.find((one) => one.id === id)!;
        assert.notEqual(placing.because, "");
        if (placing.requestId === null) continue;
        const request = REQUESTS.find((one) => one.id === placing.requestId)!;
        assert.notEqual(frame.codes, null);
        assert.ok(frame.camera !== null || !several, "nobody knows which camera took it");
        const label = all.find(
          (one) =>
            (one.camera === frame.camera || !several) &&
            one.codes?.some((text) => text.split(":")[1] === request.code),
        );
        assert.ok(label, "a label frame of that request on the same camera");
        for (const text of frame.codes ?? []) {
          const number = text.startsWith("SR1:") ? text.split(":")[2] : text;
          if (number?.startsWith("HN")) assert.equal(number, request.patientNumber);
        }
      }
    }),
    { numRuns: 2000 },
  );
});
