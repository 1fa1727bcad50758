import { calibrationsOf, changeKit, dueOfScales } from "@samescale/desk";
import { formatRatio, parseRatio } from "@samescale/optics";
import {
  frontOffset,
  type ItemChange,
  itemsOf,
  type PlacedItem,
  toDoOn,
  whyUnusable,
} from "@samescale/practice";
import type { Command } from "commander";
import { CommandFailure } from "../frame/failure.ts";
import {
  between,
  day,
  dayOption,
  type JsonOption,
  libraryOption,
  oneOf,
  practiceOption,
} from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { printable } from "../frame/printable.ts";

interface InUse extends JsonOption {
  readonly library: string;
  readonly practice?: string;
}

/** `samescale kit`: the register of what is photographed with (docs/planning.md). */
export function configure(command: Command): void {
  const sub = (name: string, says: string) =>
    libraryOption(practiceOption(command.command(name).description(says))).option(
      "--json",
      "one JSON object on one line",
    );
  sub("list", "what there is, where it is, and what is wrong with it")
    .addOption(dayOption("--day", "what is due on this day"))
    .action(list);
  sub("set", "change the state of one thing; the rest of kit.yaml stays as it is written")
    .argument("<id>", "its id in the register")
    .option("--where <place>", "where it is")
    .option("--count <n>", "how many there are", between("--count", 0, 100_000))
    .option("--charged <yes/no>", "charged", oneOf("--charged", ["yes", "no"]))
    .option("--clean <yes/no>", "clean", oneOf("--clean", ["yes", "no"]))
    .option("--due <day>", "next check", day("--due"))
    .option("--broken <why>", "what is wrong with it; no: nothing any more")
    .option("--away <why>", "where it was lent or sent; no: it is back")
    .action(set);
  sub("front", "from the front of a lens to the subject: measure once, plan with true distances")
    .argument("<lens>", "id of the lens")
    .option(
      "--at <ratio=mm>",
      "a distance at a ratio read from a picture, as 1:4=412; give it again for each",
      measured,
      [],
    )
    .option("--keep", "write the distances into the register")
    .action(front);
}

async function list(options: InUse & { readonly day: string }): Promise<void> {
  const { practice, folder } = await practiceInUse(options);
  const due = dueOfScales(practice, await calibrationsOf(folder));
  const rows = itemsOf(practice.kit).map(({ group, item }) => {
    const dueOn = due.get(item.id) ?? item.dueOn;
    const unusable = whyUnusable(item);
    const toDo = toDoOn({ ...item, ...(dueOn !== undefined && { dueOn }) }, options.day);
    return {
      group,
      id: item.id,
      name: item.name,
      count: item.count,
      where: item.where,
      dueOn: dueOn ?? null,
      unusable,
      toDo,
    };
  });
  if (options.json) {
    process.stdout.write(`${JSON.stringify({ folder, items: rows })}\n`);
    return;
  }
  const widest = Math.max(0, ...rows.map(({ id }) => id.length));
  for (const { id, name, count, where, unusable, toDo } of rows) {
    const wrong = [...(unusable ? [unusable] : []), ...toDo].map((says) => ` ! ${says}`).join("");
    process.stdout.write(
      `${printable(`${id.padEnd(widest)}  ${count > 1 ? `${count} × ` : ""}${name}, ${where}${wrong}`)}\n`,
    );
  }
}

interface Changed {
  readonly where?: string;
  readonly count?: number;
  readonly charged?: "yes" | "no";
  readonly clean?: "yes" | "no";
  readonly due?: string;
  readonly broken?: string;
  readonly away?: string;
}

async function set(id: string, options: InUse & Changed): Promise<void> {
  const change: ItemChange = {
    ...(options.where !== undefined && { where: options.where }),
    ...(options.count !== undefined && { count: options.count }),
    ...(options.charged && { charged: options.charged === "yes" }),
    ...(options.clean && { clean: options.clean === "yes" }),
    ...(options.due !== undefined && { dueOn: options.due }),
    ...(options.broken !== undefined && { broken: options.broken === "no" ? null : options.broken }),
    ...(options.away !== undefined && { away: options.away === "no" ? null : options.away }),
  };
  if (Object.keys(change).length === 0) {
    throw CommandFailure.badArguments(
      "Nothing to change was named",
      'Add for example --charged yes, or --broken "bulb".',
    );
  }
  const { folder } = await practiceInUse(options);
  const { kit } = await changeKit(folder, id, change);
  const item = itemsOf(kit).find((one) => one.item.id === id)!;
  process.stdout.write(`${options.json ? JSON.stringify(item) : said(item)}\n`);
}

const said = ({ item }: PlacedItem): string => {
  const wrong = whyUnusable(item);
  return printable(`${item.name}: ${wrong ?? "can be used"}, ${item.where}`);
};

interface AtRatio {
  readonly magnification: number;
  readonly frontToSubjectMm: number;
}

/** `1:4=412`. */
function measured(text: string, before: readonly AtRatio[]): readonly AtRatio[] {
  const [ratio, mm] = text.split("=");
  const frontToSubjectMm = Number(mm);
  if (!ratio || !(frontToSubjectMm > 0)) {
    throw CommandFailure.badArguments(
      `--at: expected a ratio and a distance in mm, received "${text}"`,
      "Type for example --at 1:4=412 --at 1:10=1010.",
    );
  }
  return [...before, { magnification: parseRatio(ratio), frontToSubjectMm }];
}

const STEPS = (lens: string) => `How to measure the ${lens}, once:
  1. Camera on a stand, square to a scale that lies flat. Set 1:2 on the lens and move until the scale is sharp.
  2. Photograph it, and measure with a tape from the foremost part of the lens (hood or ring light on, as you use
     it) to the scale: to the millimetre if you can.
  3. The same at 1:4 and at 1:10.
  4. Read the ratios that were really reached: samescale scale PHOTO…
  5. samescale kit front ID --at 1:2.03=212 --at 1:4.02=405 --at 1:10.1=1004 --keep`;

async function front(
  lensId: string,
  options: InUse & { readonly at: readonly AtRatio[]; readonly keep?: true },
): Promise<void> {
  const { practice, folder } = await practiceInUse(options);
  const lens = practice.kit.lenses.find(({ id }) => id === lensId);
  if (!lens) {
    throw CommandFailure.badArguments(
      `The register has no lens ${printable(lensId)}`,
      `It has ${practice.kit.lenses.map(({ id }) => id).join(", ") || "none"}.`,
    );
  }
  if (options.at.length === 0) {
    process.stdout.write(`${STEPS(lens.name).replace("ID", lensId)}\n`);
    return;
  }
  const offset = frontOffset(lens.focalMm, options.at);
  if (options.keep) {
    const points = options.at.map((one) => ({
      ratio: formatRatio(one.magnification),
      frontToSubjectMm: one.frontToSubjectMm,
    }));
    await changeKit(folder, lensId, { measured: points });
  }
  if (options.json)
    process.stdout.write(`${JSON.stringify({ lens: lensId, ...offset, kept: options.keep === true })}\n`);
  else {
    process.stdout.write(
      `${lens.name}: ${offset.focalInForceMm.toFixed(1)} mm in force; the front of the lens lies ${offset.frontMm.toFixed(0)} mm before the front principal plane.\n${offset.says}\n${options.keep ? "Kept in the register." : "Not kept: add --keep."}\n`,
    );
  }
}
