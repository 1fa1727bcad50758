import type { ListedRequest, OrderLine, WholeRequest } from "@samescale/desk";
import { sayMark, sayParts } from "@samescale/practice";
import { printable } from "../../frame/printable.ts";

/** One line for each request. */
export function listText(requests: readonly ListedRequest[], state: string): string[] {
  if (requests.length === 0) return [`No request is ${state}.`];
  const widest = Math.max(...requests.map(({ code }) => code.length));
  return requests.map(({ code, dueDate, priority, patient, title }) => {
    const who = patient ? `${patient.name} (${patient.number})` : "no patient";
    const urgent = priority === null || priority === "routine" ? "" : ` ${priority.toUpperCase()}`;
    return printable(`${code.padEnd(widest)}  ${dueDate ?? "no day    "}${urgent}  ${who}: ${title}`);
  });
}

/** Everything that was asked for, a field on each line. */
export function wholeText(request: WholeRequest): string {
  const { code, state, kind, dueDate, priority, patient, birthDate, details, external, sensitive } = request;
  const rows: (readonly [string, string | null | undefined])[] = [
    ["request", `${code}, ${kind}, ${state}`],
    [
      "patient",
      patient && `${patient.name}, born ${birthDate ?? "unknown"}, ${patient.number} of ${patient.authority}`,
    ],
    ["sensitive", sensitive.join(", ")],
    ["due", [dueDate, priority].filter((each) => each !== null).join(", ")],
    ["asked by", details.requester && Object.values(details.requester).join(", ")],
    ["where", [details.site, details.place, details.patientIs].filter((each) => each).join(", ")],
    ["parts", sayParts(details.parts)],
    [
      "marked",
      details.parts.flatMap(({ marks }) => marks.map((mark) => sayMark(mark) + note(mark.note))).join("; "),
    ],
    ["purpose", details.purpose],
    ["dressings down", details.dressingsDownAt?.replace("T", " ")],
    ["operation", details.operation && `${details.operation.what}${at(details.operation.at)}`],
    ["chaperone", details.chaperone?.replaceAll("-", " ")],
    ["interpreter", details.interpreter],
    ["cautions", details.cautions.map(({ kind, note: said }) => kind + note(said)).join("; ")],
    ["consent, as the requester says", details.consentReached.join(", ")],
    ["booked", details.bookedAt.map((time) => time.replace("T", " ")).join(", ")],
    ["occasion", details.occasion],
    ["notes", details.notes.join(" | ")],
    ["order", external],
  ];
  return rows
    .filter(([, value]) => value)
    .map(([name, value]) => printable(`${name}: ${value}`))
    .join("\n");
}

const note = (said: string | undefined): string => (said === undefined ? "" : ` (${said})`);
const at = (time: string | undefined): string => (time === undefined ? "" : `, ${time.replace("T", " ")}`);

/** What became of one order. */
export function orderText(line: OrderLine): string {
  const file = printable(line.file);
  if ("error" in line)
    return `${file}: ${printable(line.error.message)}\n  ${line.error.help} [${line.error.code}]`;
  const order = line.order === null ? "" : ` order ${printable(line.order)}`;
  if (line.state === "refused") return `${file}:${order} NOT TAKEN. ${printable(line.reason)}`;
  const who = line.patient === "new" ? ", a patient new to the library" : "";
  return `${file}:${order} ${SAID[line.state]} ${line.code}${who}`;
}

const SAID = {
  added: "is request",
  changed: "changed request",
  "the-same": "is known, nothing new in request",
  "called-off": "is called off: request",
} as const;
