/**
 * An HL7 version 2 message as its delimiters divide it. Only what reading an order needs; nothing is interpreted.
 *
 * @source HL7v2, chapter 2, sections 2.5 to 2.7
 */
export interface Segment {
  readonly name: string;
  /**
   * One component of one field, without its escapes; "" where it is empty or not there.
   * @param field numbered as the standard does: PID-3 is 3; MSH-1 is the field separator itself
   * @param component from 1
   * @param repeat from 1
   * @param subcomponent from 1
   */
  at(field: number, component?: number, repeat?: number, subcomponent?: number): string;
  /** How often the field is repeated; 0 when it is empty. */
  repeats(field: number): number;
}

interface Delimiters {
  readonly field: string;
  readonly component: string;
  readonly repeat: string;
  readonly escape: string;
  readonly subcomponent: string;
}

/** The messages of a file: bare, in the frame of the lower layer protocol, or several in a batch. */
export function messagesOf(text: string): readonly (readonly Segment[])[] {
  const lines = text
    .replace(/[\u000b\u001c]/g, "\r")
    .split(/\r\n|\r|\n/)
    .map((line) => line.trimEnd())
    .filter((line) => line !== "");
  const messages: Segment[][] = [];
  let delimiters: Delimiters | null = null;
  for (const line of lines) {
    const name = line.slice(0, 3);
    if (BATCH.has(name)) continue;
    if (name === "MSH") {
      delimiters = delimitersOf(line);
      messages.push([]);
    }
    if (delimiters === null) continue; // before the first header there is no message
    messages.at(-1)?.push(segmentOf(line, delimiters));
  }
  return messages;
}

const BATCH = new Set(["FHS", "BHS", "BTS", "FTS"]);

function delimitersOf(header: string): Delimiters {
  const [field = "|", component = "^", repeat = "~", mark = "\\", subcomponent = "&"] = header.slice(3, 8);
  return { field, component, repeat, escape: mark, subcomponent };
}

function segmentOf(line: string, delimiters: Delimiters): Segment {
  const parts = line.split(delimiters.field);
  const name = parts[0] ?? "";
  // MSH-1 is the separator that `split` took away, so that all its fields stand one further.
  const fields = name === "MSH" ? ["", delimiters.field, ...parts.slice(1)] : parts;
  const repeatsOf = (field: number): string[] => {
    const whole = fields[field] ?? "";
    if (whole === "") return [];
    return name === "MSH" && field <= 2 ? [whole] : whole.split(delimiters.repeat);
  };
  return {
    name,
    at(field, component = 1, repeat = 1, subcomponent = 1) {
      const one = repeatsOf(field)[repeat - 1] ?? "";
      if (name === "MSH" && field <= 2) return component === 1 ? one : "";
      const part = one.split(delimiters.component)[component - 1] ?? "";
      return unescaped(part.split(delimiters.subcomponent)[subcomponent - 1] ?? "", delimiters);
    },
    repeats: (field) => repeatsOf(field).length,
  };
}

/** `\F\`, `\S\`, `\T\`, `\R\`, `\E\`, `\.br\` and hexadecimal `\X41\`; others are left out, as they only format. */
function unescaped(text: string, delimiters: Delimiters): string {
  const mark = delimiters.escape;
  if (!text.includes(mark)) return text.trim();
  let plain = "";
  for (let at = 0; at < text.length; ) {
    const end = text[at] === mark ? text.indexOf(mark, at + 1) : -1;
    if (end < 0) {
      plain += text[at++];
      continue;
    }
    plain += meaning(text.slice(at + 1, end), delimiters);
    at = end + 1;
  }
  return plain.trim();
}

function meaning(code: string, delimiters: Delimiters): string {
  switch (code) {
    case "F":
      return delimiters.field;
    case "S":
      return delimiters.component;
    case "T":
      return delimiters.subcomponent;
    case "R":
      return delimiters.repeat;
    case "E":
      return delimiters.escape;
    case ".br":
      return " ";
    default:
      return /^X([0-9A-Fa-f]{2})+$/.test(code) ? Buffer.from(code.slice(1), "hex").toString("latin1") : "";
  }
}
