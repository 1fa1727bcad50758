import type { RepeatsOfTable } from "@samescale/desk";
import type { Agreement, IntraclassOfTable, Repeatability } from "@samescale/geometry";
import type { Command } from "commander";
import { answerEach } from "../frame/answer-each.ts";
import { type JsonOption, jsonOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

/** `samescale repeats TABLE`: what the department's own repeated outlines say of its measuring. */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(command)
    .argument(
      "<table>",
      "CSV with the columns thing, person, area_mm2, perimeter_mm: one line per outline, drawn without seeing the first",
    )
    .action(async (table: string, options: JsonOption) => {
      exit(
        await answerEach({
          inputs: [table],
          atOnce: 1,
          json: options.json === true,
          run: async (file) => (await import("@samescale/desk")).repeatsOfTable(file),
          identity: (file) => ({ file }),
          human: (answer) => human(answer as RepeatsOfTable),
        }),
      );
    });
}

function human(answer: RepeatsOfTable): string {
  const file = printable(answer.file);
  if (!answer.found) return `${file}: ${answer.reason}`;
  const { edgeMm, logArea, agreement, intraclass } = answer;
  const lines = [
    `${file}: ${edgeMm.repeats} outlines of ${counted(edgeMm.things, "thing")} by ${counted(edgeMm.persons, "person")}`,
    `  the same person again: edge ${mm(edgeMm.withinPersonSd)}, area ${percent(logArea.withinPersonSd)} (standard deviation)`,
    edgeMm.betweenPersonSd === null
      ? "  how persons differ is not known: nobody else outlined the same things"
      : `  any of these persons: edge ${mm(edgeMm.anyPersonSd)}, area ${percent(logArea.anyPersonSd)}`,
    `  smallest change of area that is more than measuring explains (95 %): ${smallest(logArea)}`,
  ];
  if (agreement) lines.push(...between(agreement.persons, agreement.logArea));
  if (intraclass) lines.push(correlation(intraclass));
  return lines.join("\n");
}

function smallest({ smallestChangeSamePerson, smallestChangeAnyPerson }: Repeatability): string {
  const any = smallestChangeAnyPerson === null ? "" : `, ${percent(smallestChangeAnyPerson)} by any of them`;
  return `${percent(smallestChangeSamePerson)} by the same person${any}`;
}

function between([one, other]: readonly [string, string], { bias, lower, upper }: Agreement): string[] {
  const more = bias.value >= 0 ? "larger" : "smaller";
  return [
    `  ${printable(other)} draws ${unsigned(bias.value)} ${more} than ${printable(one)} (± ${percent(bias.u95)}); 95 % of differences between ${signedPercent(lower.value)} and ${signedPercent(upper.value)}`,
  ];
}

function correlation({ agreement: { value, lower, upper }, things, persons }: IntraclassOfTable): string {
  return `  intraclass correlation of ${counted(things, "thing")} and ${counted(persons, "person")}: ${value.toFixed(3)} (${lower.toFixed(3)} to ${upper.toFixed(3)})`;
}

const counted = (n: number, what: string) => `${n} ${what}${n === 1 ? "" : "s"}`;
const mm = (value: number) => `${value.toFixed(2)} mm`;
/** Of a difference between logarithms. */
const percent = (log: number) => `${(100 * (Math.exp(log) - 1)).toFixed(1)} %`;
const unsigned = (log: number) => percent(log).replace("-", "");
const signedPercent = (log: number) => `${log < 0 ? "−" : "+"}${unsigned(log)}`;
