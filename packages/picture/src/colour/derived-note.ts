import type { Recipe } from "../answers.ts";

/** What a corrected picture says of itself: how it was made, from what, and what had been done before. */
export interface DerivedNote {
  readonly recipe: Recipe;
  /** SHA-256 of the files it was made from. */
  readonly inputs: readonly string[];
  readonly before: DerivedNote | null;
}

const NAMESPACE = "urn:samescale:derivative:1";
const OURS = new RegExp(`<rdf:Description[^>]*xmlns:samescale="${NAMESPACE}"[^>]*/>\\s*`, "g");
const VALUE = /samescale:made="([^"]*)"/;

/** The note as a property of its own in the picture's XMP packet; what stands there stays. @source ISO16684-1 */
export function xmpWithNote(xmp: string | null, note: Omit<DerivedNote, "before">): string {
  const whole: DerivedNote = { ...note, before: xmp === null ? null : noteInXmp(xmp) };
  const described = `<rdf:Description rdf:about="" xmlns:samescale="${NAMESPACE}" samescale:made="${escaped(JSON.stringify(whole))}"/>`;
  const rest = xmp?.replace(OURS, "") ?? "";
  const end = rest.lastIndexOf("</rdf:RDF>");
  if (end >= 0) return `${rest.slice(0, end)}${described}${rest.slice(end)}`;
  return `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">${described}</rdf:RDF></x:xmpmeta>`;
}

/** The note of an earlier correction; null where there is none, or none that can be read. */
export function noteInXmp(xmp: string): DerivedNote | null {
  const made = VALUE.exec(xmp.match(OURS)?.[0] ?? "")?.[1];
  if (made === undefined) return null;
  try {
    const note: unknown = JSON.parse(unescaped(made));
    return isNote(note) ? note : null;
  } catch {
    return null; // somebody else wrote there
  }
}

function isNote(value: unknown): value is DerivedNote {
  if (typeof value !== "object" || value === null) return false;
  const { recipe, inputs, before } = value as Partial<Record<keyof DerivedNote, unknown>>;
  const { step, version } = (recipe ?? {}) as Partial<Recipe>;
  return (
    typeof step === "string" &&
    typeof version === "number" &&
    Array.isArray(inputs) &&
    inputs.every((input) => typeof input === "string") &&
    (before === null || isNote(before))
  );
}

const NAMED = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" } as const;
const escaped = (text: string): string => text.replace(/[&<>"]/g, (c) => NAMED[c as keyof typeof NAMED]);
const unescaped = (text: string): string =>
  Object.entries(NAMED).reduceRight((said, [plain, name]) => said.replaceAll(name, plain), text);
