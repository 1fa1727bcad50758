import type { ConsentScope } from "@samescale/practice";

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
