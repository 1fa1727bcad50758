import { z } from "zod";

/**
 * How far a value may be relied on. Few values of the trade are published; a reader is told which.
 * "own" is what a department has decided for itself.
 */
export const MARKS = ["published", "practice", "memory", "computed", "own"] as const;
export type Mark = (typeof MARKS)[number];

/** Where a value comes from. */
export interface Origin {
  readonly mark: Mark;
  /** Author, year, place; null for common practice and a department's own decision. */
  readonly source: string | null;
}

export const originSchema = z
  .strictObject({ mark: z.enum(MARKS), source: z.string().min(3).max(300).nullable().default(null) })
  .refine(({ mark, source }) => mark !== "published" || source !== null, {
    path: ["source"],
    message: "what is marked published names its source",
  });

/** Origins that every file knows without listing them. */
export const PLAIN_ORIGINS: Readonly<Record<string, Origin>> = {
  practice: { mark: "practice", source: null },
  memory: { mark: "memory", source: null },
  own: { mark: "own", source: null },
};

const WORDS: Readonly<Record<Mark, string>> = {
  published: "published",
  practice: "common practice, no source",
  memory: "from memory, not read",
  computed: "computed",
  own: "this department's own",
};

/** As it stands beside a value: "published: Author Year" or "common practice, no source". */
export function sayOrigin({ mark, source }: Origin): string {
  return source === null ? WORDS[mark] : `${WORDS[mark]}: ${source}`;
}

/** Stands wherever the starting practice is shown. */
export const SET_YOUR_OWN =
  "A starting point. Few of these values are published; a department must set its own and raise the version.";
