import type { Actor, find } from "@samescale/desk";

type Wanted = Parameters<typeof find>[2];

/** A kind of question, who asks it, and what it is asked with. */
export interface Asked {
  readonly name: string;
  readonly actor: Actor;
  readonly wanted: readonly Wanted[];
}

const MARA: Actor = { name: "mara", role: "photographer" };
const VIC: Actor = { name: "vic", role: "viewer", personId: "VIC" };
const KAI: Actor = { name: "kai", role: "requester", personId: "ASKER17" };

/** What people ask of a library, from the newest frames to words that are in nearly every row. */
export function asked(frames: number): readonly Asked[] {
  const patient = Math.floor(frames / 16 / 2);
  const number = `HN${100_000 + patient}`;
  const middle = "2018-06";
  const of = (name: string, more: readonly Partial<Wanted>[], actor = MARA): Asked => ({
    name,
    actor,
    wanted: more.map((one) => ({ ...ANY, ...one })),
  });
  const texts = (...words: string[]) => words.map((text) => ({ text }));
  return [
    of("newest frames, requests, patients", [{}, { kind: "request" }, { kind: "patient" }]),
    of("a page in the middle, by key", [{ after: middleKey() }, { kind: "request", after: middleKey() }]),
    of("a patient's number, whole and its beginning", texts(number, number.slice(0, 5), "hn1")),
    of("beginnings of a name, 2 to 5 letters", texts("ka", "kam", "kamo", "kamol", "ren")),
    of("two and three words", texts("kamo heel", "left lower leg", "dr ka burns", "vo li hand")),
    of("words that nearly every frame has", texts("dsc", "dsc 0001", "dr", "dsc dr clini")),
    of("camera file names", texts("DSC_0042", "dsc_42", "0042.jpg", "DSC9999")),
    of("words that nothing has", texts("xylophone", "kamo xylophone", "heel zz")),
    of("one facet", [
      { facets: { part: ["heel"] } },
      { facets: { placed: ["unplaced"] } },
      { facets: { verdict: ["repeat"] } },
      { facets: { sensitive: ["evidence"] } },
      { facets: { frame: ["label"] } },
    ]),
    of("three facets and a word", [
      { facets: { part: ["heel"], side: ["left"], place: ["Ward 7"] }, text: "ka" },
      { facets: { part: ["hand"], verdict: ["repeat"], view: ["close"] }, text: "teaching" },
      { facets: { side: ["left", "right"], purpose: ["follow-up"], requester: ["Dr Kamo"] }, text: "" },
    ]),
    of("facets that exclude each other", [{ facets: { placed: ["unplaced"], part: ["heel"] } }]),
    of("a month, a day, with and without words", [
      { text: middle },
      { text: `${middle}-15` },
      { text: `${middle} heel` },
      { from: "2012-01-01", until: "2012-03-31", facets: { verdict: ["repeat"] } },
    ]),
    of(
      "a viewer: from whom the sensitive ones are hidden",
      [{}, { text: "heel" }, { facets: { sensitive: ["evidence"] } }, { kind: "patient", text: "ka" }],
      VIC,
    ),
    of(
      "a requester: their own ones only",
      [{}, { text: "heel" }, { text: "dsc" }, { kind: "request" }, { text: "xylophone" }],
      KAI,
    ),
    of("a requester: their patients", [{ kind: "patient", text: "ka" }, { kind: "patient" }], KAI),
  ];
}

const ANY: Wanted = { kind: "frame", text: "", facets: {}, from: null, until: null, after: null, limit: 50 };

/** The key of a moment in the middle (packages/record/src/search/key.ts). */
const middleKey = (): string => ((Date.UTC(2018, 5, 15) / 1000) * 2 ** 20).toString(36);
