import type { DatabaseSync } from "node:sqlite";

const PARTS = ["lower leg", "heel", "hand", "face", "back", "chest", "foot", "forearm", "neck", "abdomen"];
const SIDES = ["left", "right", "none"];
const PLACES = ["Burns clinic", "Ward 4", "Ward 7", "Theatre 2", "Skin clinic", "Vascular clinic", "Studio"];
const PURPOSES = [
  "wound care",
  "follow-up",
  "before operation",
  "after operation",
  "lesion record",
  "teaching",
];
const SYLLABLES = [
  "ka",
  "mo",
  "li",
  "ren",
  "tas",
  "vo",
  "ber",
  "nun",
  "sha",
  "el",
  "dri",
  "qua",
  "fen",
  "ho",
  "zi",
  "gor",
];
/** Frames of a request, and requests of a patient, on average. */
const FRAMES_OF_REQUEST = 8;
const REQUESTS_OF_PATIENT = 2;

/** Fills the tables with rows that look like fifteen years of a department. One in twenty requests is sensitive. */
export function fillTables(db: DatabaseSync, frames: number, seed: number): void {
  const random = randomFrom(seed);
  const pick = <T>(from: readonly T[]): T => from[Math.floor(random() * from.length)] as T;
  const name = () => {
    const word = () => Array.from({ length: 2 + Math.floor(random() * 2) }, () => pick(SYLLABLES)).join("");
    return `${capital(word())} ${capital(word())}`;
  };
  const requests = Math.ceil(frames / FRAMES_OF_REQUEST);
  const patients = Math.ceil(requests / REQUESTS_OF_PATIENT);
  const first = Date.UTC(2011, 0, 3, 8);
  const at = (share: number) => new Date(first + share * 15 * 365.25 * 86_400_000).toISOString();
  db.exec("pragma synchronous = off; pragma foreign_keys = off; begin");
  const patient = db.prepare(
    "insert into patient (id, number, authority, name, birth_date, details, made_at) values (?,?,?,?,?,?,?)",
  );
  for (let n = 0; n < patients; n++) {
    const born = `${1930 + Math.floor(random() * 90)}-${two(1 + random() * 12)}-${two(1 + random() * 28)}`;
    patient.run(id("P", n), `HN${String(100_000 + n)}`, "Hospital", name(), born, "{}", at(n / patients));
  }
  const request = db.prepare(
    "insert into request (id, code, patient_id, kind, due_date, state, details, made_at, priority, sensitive, requester_id) values (?,?,?,?,?,?,?,?,?,?,?)",
  );
  for (let n = 0; n < requests; n++) {
    const details = {
      parts: [{ part: pick(PARTS), side: pick(SIDES), marks: [] }],
      requester: { name: `Dr ${capital(pick(SYLLABLES) + pick(SYLLABLES))}` },
      place: pick(PLACES),
      purpose: pick(PURPOSES),
    };
    const sensitive = random() < 0.05 ? JSON.stringify([pick(["intimate", "child", "evidence"])]) : null;
    const state = n / requests > 0.99 ? "open" : "done";
    const asker = `ASKER${Math.floor(random() * 400)}`;
    request.run(
      id("R", n),
      `R-${n}`,
      id("P", Math.floor(n / REQUESTS_OF_PATIENT)),
      "clinical",
      null,
      state,
      JSON.stringify(details),
      at(n / requests),
      pick(["routine", "urgent"]),
      sensitive,
      asker,
    );
  }
  const intake = db.prepare("insert into intake (id, card_path, begun_at, finished_at) values (?,?,?,?)");
  const frame = db.prepare(
    "insert into frame (id, intake_id, folder, name, position, kind, taken_at, clock, request_id, placed_by, placing, flags) values (?,?,?,?,?,?,?,?,?,?,?,?)",
  );
  const verdict = db.prepare(
    "insert into verdict (id, frame_id, recipe, inputs, body, sha256, made_at) values (?,?,?,?,?,?,?)",
  );
  for (let n = 0; n < frames; n++) {
    const card = Math.floor(n / 200);
    const when = at(n / frames);
    if (n % 200 === 0) intake.run(id("I", card), "card", when, when);
    const placed = n % 500 !== 499;
    const kind = n % FRAMES_OF_REQUEST === 0 ? "label" : "picture";
    frame.run(
      id("F", n),
      id("I", card),
      "DCIM/100CLINI",
      `DSC_${String(n % 10_000).padStart(4, "0")}`,
      (n % 200) + 1,
      kind,
      when.slice(0, 19),
      "plausible",
      placed ? id("R", Math.floor(n / FRAMES_OF_REQUEST)) : null,
      placed ? "label" : null,
      "",
      "[]",
    );
    if (n % 2 === 0) {
      const body = JSON.stringify({
        verdict: pick(["keep", "keep", "keep", "repeat", "your-choice"]),
        view: pick(["front", "oblique", "close"]),
      });
      verdict.run(id("V", n), id("F", n), "{}", "[]", body, "0", when);
    }
  }
  db.exec("commit; pragma foreign_keys = on; analyze");
}

export const id = (kind: string, n: number): string => `01BENCH${kind}${String(n).padStart(18, "0")}`;
const two = (n: number): string => String(Math.floor(n)).padStart(2, "0");
const capital = (word: string): string => word.charAt(0).toUpperCase() + word.slice(1);

/** Small, fast, seeded: mulberry32. */
function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}
