import { basename } from "node:path";
import type { WatchLine } from "@samescale/desk";
import { formatRatio } from "@samescale/optics";
import { printable } from "../../frame/printable.ts";

/** Shape and word for the verdict, then the sentence, then the number. */
const MARKS = { keep: "●", repeat: "↻", "your-choice": "■", "not-judged": "┄" } as const;

/** One line of the watch for a person: what to do first, the number second. */
export function watchLineText(line: WatchLine): string {
  if ("state" in line) return line.say;
  const name = printable(basename(line.file));
  if ("ignored" in line) return `  ${name}: not looked at. ${printable(line.ignored)}`;
  if ("error" in line) return `! ${name}: ${printable(line.error.message)}\n  ${line.error.help}`;
  const view = line.viewName === null ? "" : `, ${line.viewName}`;
  const ratioFinding = line.findings.find((finding) => finding.what === "ratio");
  const number =
    ratioFinding?.what === "ratio"
      ? ` (${formatRatio(ratioFinding.read)}, planned ${formatRatio(ratioFinding.planned)})`
      : "";
  const rest =
    line.notJudged.length === 0 ? "" : `\n    not judged: ${line.notJudged.map(printable).join("; ")}`;
  return `${MARKS[line.verdict]} ${line.verdict.replace("-", " ")}  ${printable(line.say)}${number}\n    ${name}${view}, ${line.seconds.toFixed(1)} s${rest}`;
}
