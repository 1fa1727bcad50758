/** When a request is next to be done, seen from a day. */
export interface WhenDue {
  readonly when: "overdue" | "today" | "coming" | "undated" | "made";
  /** YYYY-MM-DD; null where there is none. */
  readonly day: string | null;
}

/**
 * The next day of a request: an appointment, an opened visit or its last day from today on. Without one, the first of
 * those that passed since it was last photographed is overdue; where none did, its pictures have been made.
 * @param days all of its days, in any order
 * @param photographedOn the last day on which pictures of it were made
 */
export function whenDue(days: readonly string[], photographedOn: string | null, today: string): WhenDue {
  const ahead = days.filter((day) => day >= today).sort();
  const [next] = ahead;
  if (next !== undefined) return { when: next === today ? "today" : "coming", day: next };
  const passed = days.filter((day) => photographedOn === null || day > photographedOn).sort();
  const [missed] = passed;
  if (missed !== undefined) return { when: "overdue", day: missed };
  return photographedOn === null ? { when: "undated", day: null } : { when: "made", day: photographedOn };
}
