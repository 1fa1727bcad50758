import {
  Document,
  isCollection,
  isMap,
  isNode,
  isPair,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  parseDocument,
  Scalar,
} from "yaml";

/** A place in a file: fields by name, places of a list counted from 0. */
export type YamlPath = readonly (string | number)[];

/** One change; `value` null takes the field away; a place one beyond the end of a list adds to it. */
export interface YamlChange {
  readonly path: YamlPath;
  readonly value: unknown;
}

/** Longer texts stand on lines of their own. */
const LONG = 100;

/**
 * A file's text with some values changed; every other character stays as its writer left it: comments, order, spaces,
 * quotation marks. Where a change cannot be made in place (an alias stands there), the file is written anew, with its
 * comments. The result is not checked: read it as a practice before it is kept.
 */
export function editYaml(text: string, changes: readonly YamlChange[]): string {
  return changes.reduce(editOne, text);
}

function editOne(text: string, { path, value }: YamlChange): string {
  const document = parseDocument(text);
  const before = document.getIn(path, true) as Node | undefined;
  if (value === null ? before === undefined : before && same(before.toJS(document), value)) return text;
  const wanted = parseDocument(text);
  if (value === null) wanted.deleteIn(path);
  else wanted.setIn(path, wanted.createNode(value));
  const inPlace = spliced(text, document, path, value);
  if (inPlace !== null) {
    const read = parseDocument(inPlace);
    if (read.errors.length === 0 && same(read.toJS(), wanted.toJS())) return inPlace;
  }
  return wanted.toString({ lineWidth: 0 });
}

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

/** The text with that one place exchanged, added or taken out; null: there is no such place to begin from. */
function spliced(text: string, document: Document.Parsed, path: YamlPath, value: unknown): string | null {
  const parentPath = path.slice(0, -1);
  const last = path.at(-1)!;
  const parent = (path.length === 1 ? document.contents : document.getIn(parentPath, true)) as
    | Node
    | undefined;
  if (!isCollection(parent) || !parent.range) {
    if (parent !== undefined || value === null) return null;
    return spliced(text, document, parentPath, typeof last === "string" ? { [last]: value } : [value]);
  }
  const isFlow = parent.flow === true;
  const at = isMap(parent)
    ? parent.items.findIndex((pair) => isScalar(pair.key) && pair.key.value === last)
    : typeof last === "number" && last < parent.items.length
      ? last
      : -1;
  const item = at < 0 ? undefined : (parent.items[at] as Pair | Node);
  if (item === undefined) return value === null ? null : added(text, parent, last, value, isFlow);
  if (value === null) return removed(text, parent, item, at, isFlow);
  const node = isPair(item) ? (item.value as Node | null) : item;
  if (!isNode(node) || !node.range) return null;
  const [start, end] = node.range;
  const key = isPair(item) ? (item.key as Node) : null;
  const column = key?.range ? columnOf(text, key.range[0]) : columnOf(text, start);
  const after = !isFlow && text.slice(start, end).endsWith("\n") ? "\n" : "";
  return `${text.slice(0, start)}${written(value, isFlow, column + 2).trimEnd()}${after}${text.slice(end)}`;
}

function added(
  text: string,
  parent: Node & { items: unknown[] },
  last: string | number,
  value: unknown,
  isFlow: boolean,
): string | null {
  const [start, end] = parent.range!;
  const entry = (column: number) =>
    typeof last === "string"
      ? `${written(last, isFlow, 0)}: ${written(value, isFlow, column + 2)}`
      : isFlow
        ? written(value, true, 0)
        : `- ${written(value, false, column + 2, true)}`;
  if (isFlow) {
    const close = end - 1;
    const inside = text.slice(start + 1, close);
    if (inside.trim() === "") return `${text.slice(0, start + 1)} ${entry(0)} ${text.slice(close)}`;
    const kept = text.slice(0, close).trimEnd();
    const space = text.slice(kept.length, close) || "";
    return `${kept.replace(/,$/, "")}, ${entry(0)}${space}${text.slice(close)}`;
  }
  const first = parent.items[0];
  const from = isPair(first) ? (first.key as Node).range : isNode(first) ? first.range : null;
  if (!from) return null;
  const column = isSeq(parent) ? columnOf(text, start) : columnOf(text, from[0]);
  const whole = text.slice(0, end).trimEnd();
  const lineEnd = text.indexOf("\n", whole.length);
  const to = lineEnd < 0 ? text.length : lineEnd;
  return `${text.slice(0, to)}\n${" ".repeat(column)}${entry(column).trimEnd()}${text.slice(to) || "\n"}`;
}

function removed(
  text: string,
  parent: Node & { items: unknown[] },
  item: Pair | Node,
  at: number,
  isFlow: boolean,
): string | null {
  const from = isPair(item) ? (item.key as Node).range : item.range;
  const until = isPair(item) ? ((item.value as Node | null)?.range ?? from) : item.range;
  if (!from || !until) return null;
  if (isFlow) {
    const isLast = at === parent.items.length - 1;
    const comma = isLast ? text.lastIndexOf(",", from[0]) : text.indexOf(",", until[1]);
    if (parent.items.length === 1) return text.slice(0, from[0]) + text.slice(until[1]);
    return isLast
      ? text.slice(0, comma) + text.slice(until[1])
      : text.slice(0, from[0]) + text.slice(comma + 1).trimStart();
  }
  if (parent.items.length === 1) return null;
  const lineStart = text.lastIndexOf("\n", from[0]) + 1;
  const before = text.slice(lineStart, from[0]);
  if (before.trim() !== "" && !(isSeq(parent) && before.trim() === "-")) return null;
  const ends = text.slice(0, until[1]).trimEnd().length;
  const lineEnd = text.indexOf("\n", ends);
  return text.slice(0, lineStart) + (lineEnd < 0 ? "" : text.slice(lineEnd + 1));
}

const columnOf = (text: string, offset: number): number => offset - (text.lastIndexOf("\n", offset - 1) + 1);

/** A value as it stands in a file: on one line where it fits, else set in by `column`. */
function written(value: unknown, inFlow: boolean, column: number, afterHyphen = false): string {
  if (inFlow) return flow(value);
  if (typeof value === "string") {
    return value.length > LONG || value.includes("\n") ? folded(value, column) : inYaml(value);
  }
  const short = flow(value);
  if (typeof value !== "object" || value === null || short.length <= LONG) return short;
  if (Array.isArray(value)) {
    if (!value.every((one) => typeof one === "object" && one !== null)) return short;
    const hyphen = `\n${" ".repeat(column)}- `;
    return value.map((one) => `${hyphen}${written(one, false, column + 2, true)}`).join("");
  }
  const indent = " ".repeat(column);
  const lines = Object.entries(value).map(([key, one]) => `${key}: ${written(one, false, column + 2)}`);
  return `${afterHyphen ? "" : `\n${indent}`}${lines.join(`\n${indent}`)}`;
}

function flow(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(flow).join(", ")}]`;
  if (typeof value !== "object" || value === null) return inYaml([value]).slice(1, -1).trim();
  const pairs = Object.entries(value).map(([key, one]) => `${flow(key)}: ${flow(one)}`);
  return pairs.length === 0 ? "{}" : `{ ${pairs.join(", ")} }`;
}

function inYaml(value: unknown): string {
  const document = new Document();
  document.contents = document.createNode(value, { flow: true }) as never;
  return document.toString({ lineWidth: 0 }).trimEnd();
}

function folded(value: string, column: number): string {
  const text = new Scalar(value);
  text.type = Scalar.BLOCK_FOLDED;
  const document = new Document();
  document.contents = document.createNode({ text }) as never;
  const [head = "", ...lines] = document.toString({ lineWidth: LONG, indent: 2 }).trimEnd().split("\n");
  const indent = " ".repeat(Math.max(0, column - 2));
  return [head.slice("text: ".length), ...lines.map((line) => (line === "" ? "" : indent + line))].join("\n");
}
