const ENTITIES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/** Text for an element or a quoted attribute: names and words from files are never trusted. */
export const escaped = (value: string): string => value.replace(/[&<>"']/g, (c) => ENTITIES[c] ?? c);
