import { Document, isMap, isSeq, parseDocument, type YAMLMap } from "yaml";
import { kitGroups } from "./item.ts";

/** New values by field; null takes the field away: nothing is known against it any more. */
export type ItemChange = Readonly<Record<string, string | number | boolean | null | readonly object[]>>;

/**
 * The register's text with one thing changed; everything else stays as the person wrote it, to the character.
 * Null when no thing has that id. The result is not checked: read it as a practice before it is kept.
 */
export function changeItem(text: string, id: string, change: ItemChange): string | null {
  const document = parseDocument(text);
  for (const group of Object.keys(kitGroups)) {
    const list = document.get(group);
    if (!isSeq(list)) continue;
    const item = list.items.find((one) => isMap(one) && one.get("id") === id);
    if (!isMap(item) || !item.range) continue;
    for (const [field, value] of Object.entries(change)) {
      if (value === null) item.delete(field);
      else item.set(field, document.createNode(value, { flow: true }));
    }
    const [start, end] = item.range;
    // A block ends with its last line's end.
    const after = text.slice(start, end).endsWith("\n") ? "\n" : "";
    return `${text.slice(0, start)}${written(item, columnOf(text, start))}${after}${text.slice(end)}`;
  }
  return null;
}

const columnOf = (text: string, offset: number): number => offset - (text.lastIndexOf("\n", offset - 1) + 1);

/** The thing alone, its further lines set as far in as its first one. */
function written(item: YAMLMap, column: number): string {
  const alone = new Document();
  alone.contents = item;
  return alone
    .toString({ lineWidth: 0 })
    .trimEnd()
    .replaceAll("\n", `\n${" ".repeat(column)}`);
}
