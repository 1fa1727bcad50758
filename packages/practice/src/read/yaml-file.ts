import { isNode, LineCounter, parseDocument } from "yaml";
import type { z } from "zod";

/** A file of the practice, as text. */
export interface PracticeText {
  /** Relative to the practice's folder, with `/`. */
  readonly path: string;
  readonly text: string;
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
 * @param faults receives one sentence per fault: file, line, field, what
 */
export function openYaml({ path: name, text }: PracticeText, faults: string[]): YamlFile {
  const lines = new LineCounter();
  const tooLong = text.length > MOST_CHARACTERS;
  const document = parseDocument(tooLong ? "" : text, { lineCounter: lines, prettyErrors: false });
  const lineAt = (path: readonly PropertyKey[]): number | null => {
    for (let depth = path.length; depth >= 0; depth--) {
      const node = depth === 0 ? document.contents : document.getIn(path.slice(0, depth), true);
      if (isNode(node) && node.range) return lines.linePos(node.range[0]).line;
    }
    return null;
  };
  const fault = (path: readonly PropertyKey[], says: string): void => {
    const line = lineAt(path);
    const field = path.length === 0 ? "the whole" : fieldName(path);
    const sentence = `${name}${line === null ? "" : `, line ${line}`}, ${field}: ${inPlainWords(says)}`;
    // What views share is checked with each of them and told once.
    if (!faults.includes(sentence)) faults.push(sentence);
  };
  return {
    path: name,
    fault,
    check(schema) {
      if (tooLong) {
        faults.push(`${name}: expected at most ${MOST_CHARACTERS} characters`);
        return null;
      }
      // What is only warned of (a tag that nobody knows) would be read as something else than was meant.
      const unread = [...document.errors, ...document.warnings];
      for (const { pos, message } of unread.slice(0, MOST_UNREAD)) {
        faults.push(`${name}, line ${lines.linePos(pos[0]).line}: ${message}`);
      }
      if (unread.length === 0 && document.contents === null) faults.push(`${name}: the file is empty`);
      if (unread.length > 0 || document.contents === null) return null;
      const parsed = schema.safeParse(plainOf(document));
      if (parsed.success) return parsed.data;
      for (const issue of parsed.error.issues) {
        const path = issue.code === "unrecognized_keys" ? [...issue.path, issue.keys[0]!] : issue.path;
        fault(path, issue.message);
      }
      return null;
    },
  };
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

/** The schema library's words for a field that is not there are a programmer's. */
const inPlainWords = (says: string): string => (says.endsWith("received undefined") ? "is missing" : says);
