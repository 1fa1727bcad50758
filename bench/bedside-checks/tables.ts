import { quantile, shareOf } from "../scale-rendered/statistics.ts";
import type { Planted } from "./picture.ts";
import type { Row, Sides } from "./worker.ts";

/** One number of a frame, what it is to find, and from where on it finds. */
interface Measure {
  readonly name: string;
  /** Planted strength of this fault, or null where another fault is planted. */
  readonly strength: (planted: Planted, row: Row) => number | string | null;
  /** Null: not judged. */
  readonly value: (row: Row) => number | null;
  readonly threshold: number;
  /** Found below the threshold rather than above it. */
  readonly below?: boolean;
}

const good = (planted: Planted): string | null => (planted.what === "nothing" ? "none" : null);

/** Thresholds that are suggested to the practice. */
const MEASURES: readonly Measure[] = [
  {
    name: "focus: blur of the subject, px (disc at the subject as it came out)",
    strength: (p, { facts }) =>
      good(p) ?? (p.what === "focus" && !p.scaleSharp ? discBand(facts.blurPx) : null),
    value: ({ seen: { focus } }) => (focus.subject.judged ? focus.subject.blurPx.value : null),
    threshold: 4,
  },
  {
    name: "focus: blur of the scale, px",
    strength: (p, { facts }) =>
      good(p) ?? (p.what === "focus" && !p.scaleSharp ? discBand(facts.blurPx) : null),
    value: ({ seen: { focus } }) => (focus.scale.judged ? focus.scale.blurPx.value : null),
    threshold: 4,
  },
  {
    name: "focus on the scale, not on the subject: blur of the subject, px",
    strength: (p, { facts }) =>
      good(p) ?? (p.what === "focus" && p.scaleSharp ? discBand(facts.blurPx) : null),
    value: ({ seen: { focus } }) => (focus.subject.judged ? focus.subject.blurPx.value : null),
    threshold: 4,
  },
  {
    name: "movement: length told, px",
    strength: (p) => good(p) ?? (p.what === "motion" ? p.lengthPx : null),
    value: ({ seen: { focus } }) => (focus.subject.judged ? (focus.subject.motion?.lengthPx ?? 0) : null),
    threshold: 2.5,
  },
  {
    name: "movement: length told, or blur of the subject where more, px",
    strength: (p) => good(p) ?? (p.what === "motion" ? p.lengthPx : null),
    value: ({ seen: { focus } }) =>
      focus.subject.judged ? Math.max(focus.subject.motion?.lengthPx ?? 0, focus.subject.blurPx.value) : null,
    threshold: 4,
  },
  {
    name: "too bright: largest burnt-out place of the subject, share",
    strength: (p) => good(p) ?? (p.what === "exposure" && p.stops > 0 ? p.stops : null),
    value: ({ seen: { exposure } }) => (exposure.judged ? exposure.burntOut.largestShare : null),
    threshold: 0.005,
  },
  {
    name: "too bright: the scale's white burnt out, 1 = yes",
    strength: (p) => good(p) ?? (p.what === "exposure" && p.stops > 0 ? p.stops : null),
    value: ({ seen: { exposure } }) =>
      exposure.judged && exposure.stops.judged ? Number(exposure.stops.isAtLeast) : null,
    threshold: 0.5,
  },
  {
    name: "too dark: stops by the scale",
    strength: (p) => good(p) ?? (p.what === "exposure" && p.stops < 0 ? p.stops : null),
    value: stopsByScale,
    threshold: -0.75,
    below: true,
  },
  {
    name: "cut off: share of a border through which it should not run",
    strength: (p, { facts }) => (facts.subject ? (good(p) ?? (p.what === "cut off" ? p.share : null)) : null),
    value: ({ seen: { subject }, facts }) =>
      subject.judged ? unexpected(subject.runsOut, facts.view) : null,
    threshold: 0.02,
  },
  {
    name: "off centre: farther than in the good frame of the seed, share of a side",
    strength: (p, { facts }) => (facts.subject ? (good(p) ?? (p.what === "cut off" ? p.share : null)) : null),
    value: ({ seen: { subject } }) =>
      subject.judged ? Math.max(Math.abs(subject.offCentre.x), Math.abs(subject.offCentre.y)) : null,
    threshold: 0.1,
  },
  {
    name: "creased backdrop: creases",
    strength: (p) => good(p) ?? (p.what === "creases" ? p.folds : null),
    value: ({ seen: { backdrop } }) => (backdrop.judged ? backdrop.creases : null),
    threshold: 0.05,
  },
  {
    name: "shadow of the subject on the backdrop, stops",
    strength: (p, { facts }) =>
      facts.subject ? (good(p) ?? (p.what === "shadow" ? p.strength : null)) : null,
    value: ({ seen: { backdrop } }) => (backdrop.judged ? backdrop.shadowStops : null),
    threshold: 0.12,
  },
];

function stopsByScale({ seen: { exposure } }: Row): number | null {
  return exposure.judged && exposure.stops.judged ? exposure.stops.value : null;
}

/** A limb runs through the frame from left to right, a hand's arm out below, a heel's leg out above. */
function unexpected(runsOut: Sides, view: string): number {
  const through = view === "limb" ? ["left", "right"] : view === "hand" ? ["bottom"] : ["top"];
  return Math.max(
    ...Object.entries(runsOut).flatMap(([side, share]) => (through.includes(side) ? [] : [share])),
  );
}

const BANDS = [2, 3, 6, 12, 24];
function discBand(px: number): string {
  const at = BANDS.findIndex((limit) => px < limit);
  return at < 0
    ? `${BANDS.at(-1)} px on`
    : at === 0
      ? `under ${BANDS[0]}`
      : `${BANDS[at - 1]} to ${BANDS[at]}`;
}

/** Everything that is printed of a run. */
export function tablesOf(rows: readonly Row[]): string[] {
  return [
    ...MEASURES.flatMap((measure) => tableOf(measure, rows)),
    ...lightTable(rows),
    ...subjectLines(rows),
    ...secondsLine(rows),
  ];
}

function tableOf({ name, strength, value, threshold, below }: Measure, rows: readonly Row[]): string[] {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    const s = strength(row.planted, row);
    if (s === null) continue;
    const key = String(s);
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  const keys = [...groups.keys()].sort((a, b) => order(a) - order(b));
  const lines = [
    name,
    `  ${"planted".padEnd(10)} frames judged    5 %    25 %  median    75 %    95 %   ${below ? "below" : "above"} ${threshold} (95 %)`,
  ];
  for (const key of keys) {
    const own = groups.get(key)!;
    const values = own.map(value).filter((v) => v !== null);
    const hits = shareOf(values, (v) => (below ? v < threshold : v > threshold));
    const spread = [0.05, 0.25, 0.5, 0.75, 0.95].map((q) => show(quantile(values, q)).padStart(7));
    lines.push(
      `  ${key.padEnd(10)} ${String(own.length).padStart(6)} ${String(values.length).padStart(6)} ${spread.join(" ")}   ${hits.percent.toFixed(1)} % (${hits.least.toFixed(1)} to ${hits.most.toFixed(1)})`,
    );
  }
  return lines;
}

function order(key: string): number {
  if (key === "none" || key.startsWith("under")) return key === "none" ? -1e9 : -1e8;
  return Math.abs(Number.parseFloat(key));
}

const show = (v: number): string => (Number.isFinite(v) ? v.toFixed(Math.abs(v) < 1 ? 3 : 2) : "-");

/** How far the told direction lies from the true one. */
function lightTable(rows: readonly Row[]): string[] {
  const lines = ["side of the light: error of the direction, degrees"];
  for (const [name, own] of [
    [
      "one lamp, low",
      rows.filter((r) => r.planted.what === "side light" || (good(r.planted) && r.facts.light === "oblique")),
    ],
    ["on the camera, above", rows.filter((r) => good(r.planted) && r.facts.light === "frontal")],
  ] as const) {
    const errors: number[] = [];
    let held = 0;
    for (const { seen, facts } of own) {
      if (!seen.light.judged || facts.lightFromDeg === null) continue;
      const off = Math.abs(((((seen.light.fromDeg - facts.lightFromDeg) % 360) + 540) % 360) - 180);
      errors.push(off);
      if (off <= seen.light.u95Deg) held++;
    }
    const spread = [0.5, 0.75, 0.95].map((q) => quantile(errors, q).toFixed(0)).join(" / ");
    lines.push(
      `  ${name.padEnd(22)} ${own.length} frames, judged ${errors.length}: median / 75 % / 95 % ${spread}; within its u95: ${held}`,
    );
  }
  for (const light of ["ring", "even"]) {
    const own = rows.filter((r) => good(r.planted) && r.facts.light === light);
    const judged = own.filter((r) => r.seen.light.judged);
    const stops = judged.map((r) => (r.seen.light.judged ? r.seen.light.stops.value : 0));
    lines.push(
      `  ${`from no side (${light})`.padEnd(22)} ${own.length} frames, a side told in ${judged.length}, median ${show(quantile(stops, 0.5))} stops`,
    );
  }
  return lines;
}

/** The subject's place against its drawn outline. */
function subjectLines(rows: readonly Row[]): string[] {
  const known = rows.filter((r) => r.facts.subject !== null);
  const errors = known.flatMap(({ seen, facts }) =>
    seen.subject.judged ? [Math.abs(seen.subject.share - facts.subject!.share)] : [],
  );
  const borders = known.flatMap(({ seen, facts }) =>
    seen.subject.judged
      ? (["left", "top", "right", "bottom"] as const).map((side) =>
          Math.abs((seen.subject.judged ? seen.subject.runsOut[side] : 0) - facts.subject!.runsOut[side]),
        )
      : [],
  );
  const filled = rows.filter((r) => r.facts.view === "close-up");
  const told = filled.filter(({ seen: { subject } }) => subject.judged && subject.fillsFrame);
  return [
    "the subject against its outline, all frames with one",
    `  share of the frame, error: median ${show(quantile(errors, 0.5))}, 95 % ${show(quantile(errors, 0.95))}, worst ${show(Math.max(...errors))}; judged ${errors.length} of ${known.length}`,
    `  share of a border, error: median ${show(quantile(borders, 0.5))}, 95 % ${show(quantile(borders, 0.95))}, worst ${show(Math.max(...borders))}`,
    `  close-ups of skin alone: told so in ${told.length} of ${filled.length}`,
  ];
}

const secondsLine = (rows: readonly Row[]): string[] => {
  const seconds = rows.map((r) => r.seconds);
  return [
    `processor time of the look: median ${quantile(seconds, 0.5).toFixed(2)} s, 95 % ${quantile(seconds, 0.95).toFixed(2)} s`,
  ];
};
