/** Why few may see a request or a frame: to everybody else it does not exist. */
export const SENSITIVE_CATEGORIES = ["intimate", "child", "safeguarding", "evidence"] as const;
export type SensitiveCategory = (typeof SENSITIVE_CATEGORIES)[number];

/** A mistake here harms somebody, or a case: two persons think of it. */
export const LEAD_CLEARS: readonly SensitiveCategory[] = ["safeguarding", "evidence"];

export const isSensitiveCategory = (text: string): text is SensitiveCategory =>
  (SENSITIVE_CATEGORIES as readonly string[]).includes(text);

/** For a column; null: nothing narrows it. */
export const keptSensitive = (categories: readonly SensitiveCategory[]): string | null =>
  categories.length === 0 ? null : JSON.stringify([...new Set(categories)].toSorted());

/** As kept in `request.sensitive` and `frame.sensitive`. */
export const sensitiveOf = (kept: string | null): readonly SensitiveCategory[] =>
  kept === null ? [] : (JSON.parse(kept) as SensitiveCategory[]);
