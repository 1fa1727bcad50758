import { isNode, LineCounter, parseDocument } from "yaml";
import type { z } from "zod";
import { fieldWords } from "./field-words.ts";

/** A file of the practice, as text. */
export interface PracticeText {
  /** Relative to the practice's folder, with `/`. */
  readonly path: string;
  readonly text: string;
}

/** What is wrong with a file of the practice, and where. */
export interface PracticeFault {
  readonly file: string;
  readonly line: number | null;
  /** Counted from 0; empty: the whole; null: it cannot even be read. */
  readonly path: readonly PropertyKey[] | null;
  readonly says: string;
}

/** `view-sets/wound.yaml, line 12, views[3].ratio: expected 1:200 to 5:1`. */
export function sayFault({ file, line, path, says }: PracticeFault): string {
  const field = path === null ? "" : path.length === 0 ? ", the whole" : `, ${fieldName(path)}`;
  return `${file}${line === null ? "" : `, line ${line}`}${field}: ${says}`;
}

/** One file of the practice while it is checked: what it holds, and where each fault lies. */
export interface YamlFile {
  readonly path: string;
  /** Notes a fault at a field; the line is that of the field, or of the nearest one that is there. */
  fault(path: readonly PropertyKey[], says: string): void;
  /** The whole against a schema; null after noting every fault. */
  check<T>(schema: z.ZodType<T>): T | null;
}

/** More than any department writes; a file beyond it is something else. */
const MOST_CHARACTERS = 1_000_000;
/** One slip makes many lines unreadable: the first few tell. */
const MOST_UNREAD = 5;

/**
 * Opens YAML (or JSON, which is YAML as well) for checking. Ratios and days stay text, as in YAML 1.2. Aliases are
 * not followed far (a file cannot grow in memory beyond its text).
 * @param faults receives every fault: file, line, field, what
 */
export function openYaml({ path: file, text }: PracticeText, faults: PracticeFault[]): YamlFile {
  const lines = new LineCounter();
  const unreadable = (says: string, line: number | null = null) =>
    faults.push({ file, line, path: null, says });
  const whyNot =
    text.length > MOST_CHARACTERS
      ? `expected at most ${MOST_CHARACTERS} characters`
      : isNestedTooDeep(text)
        ? `expected at most ${MOST_NESTED} brackets or hyphens one inside the other`
        : null;
  const document = parseDocument(whyNot === null ? text : "", { lineCounter: lines, prettyErrors: false });
  const lineAt = (path: readonly PropertyKey[]): number | null => {
    for (let depth = path.length; depth >= 0; depth--) {
      const node = depth === 0 ? document.contents : document.getIn(path.slice(0, depth), true);
      if (isNode(node) && node.range) return lines.linePos(node.range[0]).line;
    }
    return null;
  };
  const fault = (path: readonly PropertyKey[], says: string): void => {
    const one = { file, line: lineAt(path), path, says };
    // What views share is checked with each of them and told once.
    if (!faults.some((other) => sayFault(other) === sayFault(one))) faults.push(one);
  };
  return {
    path: file,
    fault,
    check(schema) {
      if (whyNot !== null) {
        unreadable(whyNot);
        return null;
      }
      // What is only warned of (a tag that nobody knows) would be read as something else than was meant.
      const unread = [...document.errors, ...document.warnings];
      for (const { pos, message } of unread.slice(0, MOST_UNREAD)) {
        unreadable(message, lines.linePos(pos[0]).line);
      }
      if (unread.length === 0 && document.contents === null) unreadable("the file is empty");
      if (unread.length > 0 || document.contents === null) return null;
      const parsed = schema.safeParse(plainOf(document), { error: fieldWords });
      if (parsed.success) return parsed.data;
      for (const issue of parsed.error.issues) {
        const path = issue.code === "unrecognized_keys" ? [...issue.path, issue.keys[0]!] : issue.path;
        fault(path, issue.message);
      }
      return null;
    },
  };
}

/** What a file says, unchecked, as plain values; null: it cannot be read. */
export function readYaml(text: string): unknown {
  if (text.length > MOST_CHARACTERS || isNestedTooDeep(text)) return null;
  const document = parseDocument(text, { prettyErrors: false });
  return document.errors.length > 0 ? null : plainOf(document);
}

/** Deeper than any practice; a file that only nests would make the reader run out of stack. */
const MOST_NESTED = 60;

/** Counts opening brackets that are not closed, and hyphens or question marks that open a list at the start of a line. */
function isNestedTooDeep(text: string): boolean {
  let open = 0;
  for (const character of text) {
    if (character === "[" || character === "{") open++;
    else if (character === "]" || character === "}") open = Math.max(0, open - 1);
    if (open > MOST_NESTED) return true;
  }
  return new RegExp(`^ *(?:[-?:] +){${MOST_NESTED},}`, "m").test(text);
}

function plainOf(document: ReturnType<typeof parseDocument>): unknown {
  try {
    return document.toJS({ maxAliasCount: 50 });
  } catch {
    return null;
  }
}

/** `views[3].ratio`, counted as a person counts: from 1. */
function fieldName(path: readonly PropertyKey[]): string {
  return path
    .map((part, i) => (typeof part === "number" ? `[${part + 1}]` : `${i === 0 ? "" : "."}${String(part)}`))
    .join("");
}
