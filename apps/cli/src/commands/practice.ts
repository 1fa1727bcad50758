import { checkPracticeFolder, startPractice } from "@samescale/desk";
import { formatRatio } from "@samescale/optics";
import {
  originOf,
  type Practice,
  SET_YOUR_OWN,
  sayOrigin,
  type View,
  type ViewSet,
} from "@samescale/practice";
import type { Command } from "commander";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { printable } from "../frame/printable.ts";

/** `samescale practice`: the department's view sets, rules and kit as files (docs/practice.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  command
    .command("check")
    .description("check a practice: every fault with its file, line and field")
    .argument("<folder>", "folder with department.yaml, kit.yaml and view-sets")
    .option("--json", "one JSON object on one line")
    .action(async (folder: string, options: JsonOption) => exit(await check(folder, options)));
  command
    .command("start")
    .description("copy the starting practice, to be made your own; what is there is never replaced")
    .argument("<folder>", "new folder, or one to be completed")
    .action(async (folder: string) => {
      const made = await startPractice(folder);
      process.stdout.write(`${made.length} files written to ${printable(folder)}. ${SET_YOUR_OWN}\n`);
    });
  practiceOption(
    command
      .command("show")
      .description("the view sets, or one of them with each value's origin")
      .argument("[set]", "key of a view set")
      .option("--library <folder>", "the library whose practice is meant")
      .option("--json", "one JSON object on one line"),
  ).action(async (key: string | undefined, options: JsonOption & { practice?: string; library?: string }) => {
    const { practice } = await practiceInUse(options);
    process.stdout.write(
      `${key === undefined ? allSets(practice, options) : oneSet(practice, key, options)}\n`,
    );
  });
}

async function check(folder: string, { json }: JsonOption): Promise<number> {
  const { practice, faults } = await checkPracticeFolder(folder);
  const counts = practice && {
    viewSets: practice.viewSets.length,
    views: practice.viewSets.reduce((sum, { views }) => sum + views.length, 0),
  };
  if (json)
    process.stdout.write(`${JSON.stringify({ folder, holds: faults.length === 0, ...counts, faults })}\n`);
  else if (counts) {
    process.stdout.write(
      `${printable(folder)} holds: ${counts.viewSets} view sets with ${counts.views} views.\n`,
    );
  } else
    process.stdout.write(
      `${faults.map(printable).join("\n")}\n${faults.length} ${faults.length === 1 ? "fault" : "faults"}.\n`,
    );
  return faults.length === 0 ? 0 : 1;
}

function allSets({ viewSets, department }: Practice, { json }: JsonOption): string {
  const rows = viewSets.map(({ key, name, version, purpose, views }) => ({
    key,
    name,
    version,
    purpose,
    views: views.length,
  }));
  if (json) return JSON.stringify({ department, viewSets: rows });
  const widest = Math.max(...rows.map(({ key }) => key.length));
  return rows
    .map((row) => `${row.key.padEnd(widest)}  ${row.name}, version ${row.version}: ${row.views} views`)
    .join("\n");
}

function oneSet({ viewSets }: Practice, key: string, { json }: JsonOption): string {
  const set = viewSets.find((one) => one.key === key);
  if (!set) {
    throw CommandFailure.badArguments(
      `The practice has no view set ${printable(key)}`,
      `It has ${viewSets.map((one) => one.key).join(", ")}.`,
    );
  }
  return json ? JSON.stringify(set) : [heading(set), ...set.views.map(viewLines)].join("\n\n");
}

const heading = ({ name, version, purpose }: ViewSet) =>
  `${name}, version ${version} (${purpose})\n${SET_YOUR_OWN}`;

function viewLines(view: View): string {
  const from = (field: string) => `  [${sayOrigin(originOf(view, field))}]`;
  const lines: [string, string][] = [
    [
      "Ratio",
      `${formatRatio(view.magnification)}, ${view.onSmallerSensor.replace("-", " ")} on another sensor${from("ratio")}`,
    ],
    ["View", `${view.part}, ${view.aspect}, ${view.side}, ${view.orientation}${from("view")}`],
    [
      "Patient",
      `${view.position}${view.referenceLine === "none" ? "" : `; ${view.referenceLine.replaceAll("-", " ")}`}${from("position")}`,
    ],
    ["Camera", `${view.cameraHeight}; ${view.cameraAngle}${from("cameraHeight")}`],
    ["Frame", `${view.landmarks.join("; ") || "no landmarks named"}${from("landmarks")}`],
    ["Light", `${view.light}${from("light")}`],
    ["Behind", `${view.backdrop}${from("backdrop")}`],
    [
      "Scale",
      view.scale === "none"
        ? `none${from("scale")}`
        : `${view.scale}, ${view.scaleWhere}, ${view.scalePlane}${from("scale")}`,
    ],
    [
      "Aperture",
      `${view.fNumber === undefined ? `for ${view.depthMm} mm of depth` : `f/${view.fNumber}`}${from(view.fNumber === undefined ? "depthMm" : "fNumber")}`,
    ],
  ];
  const besides = [
    view.lens === "clinical" ? "" : `lens for a ${view.lens}`,
    view.mirror === "none" ? "" : `${view.mirror} mirror`,
    view.chart === "none" ? "" : `colour chart ${view.chart.replace("-", " ")}`,
    view.pairOf === undefined ? "" : `pair of ${view.pairOf}`,
    view.hands,
    view.jewellery,
    view.instructions,
    view.chaperone === "offer" ? "a chaperone is offered" : "",
    view.identifiable ? "the person can be recognised" : "",
    ...view.cautions.map((name) => `caution: ${name.replaceAll("-", " ")}`),
    `${view.minutes} min`,
  ].filter((says) => says !== "");
  lines.push(["Besides", besides.join("; ")]);
  return [`${view.name} (${view.key})`, ...lines.map(([what, says]) => `  ${what.padEnd(9)} ${says}`)].join(
    "\n",
  );
}
