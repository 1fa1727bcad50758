import { type ConsentScope, SCOPE_WORDS } from "@samescale/practice";

/** What a scope lets leave; label frames leave in none. Common practice, no source, except where docs/release.md names one. */
export interface ScopeRules {
  /** kept: name, number and date of birth may stand in the files; code: a code of the project; removed: neither. */
  readonly identity: "kept" | "code" | "removed";
  /** untouched: the camera's own files; camera: what says how the picture was made; none: nothing but the colour profile. */
  readonly metadata: "untouched" | "camera" | "none";
  /** original: as on the card; counter: the release's mark and a number. */
  readonly fileNames: "original" | "counter";
  readonly times: "kept" | "shifted" | "removed";
  /** A person has confirmed, on this very original, what must not be seen. */
  readonly masksConfirmed: boolean;
  /** Files that lie beside the picture: RAW, sidecars, sound. */
  readonly sidecars: boolean;
  /** Long side at most; null: as many pixels as there are. */
  readonly maxSidePx: number | null;
}

const FOR_CARE = {
  identity: "kept",
  metadata: "camera",
  fileNames: "counter",
  times: "kept",
  masksConfirmed: false,
  sidecars: false,
  maxSidePx: null,
} as const satisfies ScopeRules;

const WITHOUT_IDENTITY = {
  identity: "removed",
  metadata: "none",
  fileNames: "counter",
  times: "removed",
  masksConfirmed: true,
  sidecars: false,
} as const;

/** The table of docs/release.md. */
export const SCOPE_RULES: Readonly<Record<ConsentScope, ScopeRules>> = {
  "health-record": FOR_CARE,
  requester: FOR_CARE,
  teaching: { ...WITHOUT_IDENTITY, maxSidePx: 2400 },
  "publication-print": { ...WITHOUT_IDENTITY, maxSidePx: null },
  "publication-open-web": { ...WITHOUT_IDENTITY, maxSidePx: 1600 },
  research: { ...WITHOUT_IDENTITY, identity: "code", times: "shifted", maxSidePx: null },
  evidence: {
    identity: "kept",
    metadata: "untouched",
    fileNames: "original",
    times: "kept",
    masksConfirmed: false,
    sidecars: true,
    maxSidePx: null,
  },
};

/** Whether what leaves must not lead back to the patient. */
export const deidentifies = ({ identity }: ScopeRules): boolean => identity !== "kept";

/** What a release under these rules holds and does not hold, for its receipt. */
export function sayRules(rules: ScopeRules): string[] {
  const { identity, metadata, times, masksConfirmed, sidecars, maxSidePx } = rules;
  const untouched = metadata === "untouched";
  return [
    {
      kept: "Name, number and date of birth of the patient may stand in it.",
      code: "The patient stands in it under a code of the project; the key stays in the department.",
      removed: "Nothing in it names the patient.",
    }[identity],
    {
      untouched: "Camera files are as they came from the card, metadata included.",
      camera:
        "Pictures were made anew; of the metadata only camera, lens, exposure and time were written again.",
      none: "Pictures were made anew, without metadata, previews and thumbnails of the original.",
    }[metadata],
    {
      kept: "Times are those of the pictures.",
      shifted: "Days are moved, for each patient by the same number; times of day are left out.",
      removed: "Days and times are left out.",
    }[times],
    ...(masksConfirmed
      ? [
          "A person confirmed for each picture what must not be seen; that is filled with one colour and is not in the files.",
        ]
      : []),
    "Pictures of labels are not in it.",
    ...(sidecars ? ["Files beside the pictures (RAW, sound, sidecars) are in it."] : []),
    ...(untouched || maxSidePx === null
      ? []
      : [`The long side of a picture has at most ${maxSidePx} pixels.`]),
  ];
}

/** The same as a table for people: `docs/release.md` carries it. */
export function scopeTable(): string {
  const row = (cells: readonly string[]) => `| ${cells.join(" | ")} |`;
  const rows = Object.entries(SCOPE_RULES).map(([scope, rules]) =>
    row([
      SCOPE_WORDS[scope as ConsentScope],
      { kept: "stays", code: "code of the project", removed: "out" }[rules.identity],
      { untouched: "as on the card", camera: "camera, lens, exposure, time", none: "out" }[rules.metadata],
      { kept: "stay", shifted: "days moved", removed: "out" }[rules.times],
      { original: "as on the card", counter: "mark and counter" }[rules.fileNames],
      rules.masksConfirmed ? "confirmed for each picture" : "none",
      "never",
      rules.sidecars ? "go along" : "stay here",
      rules.maxSidePx === null ? "full" : `${rules.maxSidePx} px`,
    ]),
  );
  const heads = [
    "for",
    "identity",
    "metadata",
    "times",
    "file names",
    "masks",
    "label frames",
    "RAW, sidecars",
    "long side",
  ];
  return [row(heads), row(heads.map(() => "---")), ...rows].join("\n");
}
