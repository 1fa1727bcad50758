import {
  bringFindingUpToDate,
  type FoundKind,
  type FoundPage,
  type FoundRow,
  find,
  MOST_COUNTED,
  openDesk,
} from "@samescale/desk";
import type { Command } from "commander";
import { CommandFailure } from "../frame/failure.ts";
import { between, day, type JsonOption, libraryOption, oneOf } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { rateLine } from "../frame/rate-line.ts";
import { thisPerson } from "../frame/this-person.ts";

const KINDS = ["patient", "request", "frame"] as const;

interface Options extends JsonOption {
  readonly library: string;
  readonly kind?: (typeof KINDS)[number];
  readonly only: readonly string[];
  readonly from?: string;
  readonly until?: string;
  readonly after?: string;
  readonly limit: number;
  readonly rebuild?: true;
}

/** `samescale find`: patients, requests and frames by words, days and facets (docs/keep.md). */
export function configure(command: Command): void {
  libraryOption(
    command.argument(
      "[words...]",
      "beginnings of words, days (2026-03-15) and months (2026-03); all must fit",
    ),
  )
    .option("--kind <kind>", `${KINDS.join(", ")} (without: a few of each)`, oneOf("--kind", KINDS))
    .option(
      "--only <facet=value>",
      "narrow, such as side=left or placed=unplaced; may be repeated",
      (text: string, before: readonly string[]) => [...before, text],
      [] as readonly string[],
    )
    .option("--from <day>", "from this day on", day("--from"))
    .option("--until <day>", "up to this day", day("--until"))
    .option("--after <next>", "the page behind the one that said `next`; with --kind")
    .option("--limit <n>", "rows of a page", between("--limit", 1, 500), 20)
    .option("--rebuild", "make the index anew from the tables first")
    .option("--json", "one JSON object per row, then one per kind with counts and facets")
    .action(async (words: string[], options: Options) => {
      const desk = await openDesk(options.library, { mode: "open" });
      const line = rateLine();
      try {
        await bringFindingUpToDate(desk, {
          again: options.rebuild === true,
          onProgress: ({ rows, ofRows }) => line.show(() => `making the index: ${rows} of ${ofRows} rows`),
        });
        line.clear();
        const actor = await thisPerson(desk);
        for (const kind of options.kind === undefined ? KINDS : [options.kind]) {
          const page = await find(desk, actor, {
            kind,
            text: words.join(" "),
            facets: facetsIn(options.only),
            from: options.from ?? null,
            until: options.until ?? null,
            after: options.after ?? null,
            limit: options.kind === undefined ? Math.min(options.limit, 5) : options.limit,
          });
          process.stdout.write(options.json ? asJson(page) : asText(page));
        }
      } finally {
        await desk.close();
      }
    });
}

function facetsIn(only: readonly string[]): Record<string, string[]> {
  const facets: Record<string, string[]> = {};
  for (const text of only) {
    const at = text.indexOf("=");
    const facet = text.slice(0, at);
    if (at < 1 || !/^[a-z]+$/.test(facet) || text.length === at + 1) {
      throw CommandFailure.badArguments(
        `--only: expected FACET=VALUE, received "${printable(text)}"`,
        "Type for example --only side=left. Facets and their values stand below every list.",
      );
    }
    facets[facet] = [...(facets[facet] ?? []), text.slice(at + 1)];
  }
  return facets;
}

const asJson = ({ kind, rows, next, counted }: FoundPage): string =>
  [...rows.map((row) => ({ kind, ...row })), { summary: { kind, ...counted, next } }]
    .map((each) => `${JSON.stringify(each)}\n`)
    .join("");

function asText({ kind, rows, next, counted }: FoundPage): string {
  const lines = rows.map((row) => `  ${printable(inWords(kind, row))}`);
  const many = counted === null ? "" : `: ${counted.more ? `more than ${MOST_COUNTED}` : counted.matches}`;
  const facets = Object.entries(counted?.facets ?? {}).map(([facet, values]) => {
    const shown = Object.entries(values)
      .toSorted(([, one], [, other]) => other - one)
      .slice(0, 6);
    return `  ${facet}: ${printable(shown.map(([value, n]) => `${value} (${n})`).join(", "))}`;
  });
  const more = next === null ? [] : [`  next page: --kind ${kind} --after ${next}`];
  return `${[`${kind}s${many}`, ...lines, ...facets.filter((text) => !text.endsWith(": ")), ...more].join("\n")}\n`;
}

function inWords(kind: FoundKind, { id, name, patient, request, at }: FoundRow): string {
  const whose = patient === null ? "" : `, ${patient.name} ${patient.number}`;
  if (kind === "patient") return `${name}, ${patient?.number ?? ""}, born ${patient?.birthDate ?? "unknown"}`;
  if (kind === "request") return `${name}${whose}: ${request?.title ?? ""} (${request?.state ?? ""})`;
  const of = request === null ? "unplaced" : `${request.code}${whose}: ${request.title}`;
  return `${at ?? "no time"}  ${name}  ${of}  [${id}]`;
}
