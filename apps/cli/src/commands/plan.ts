import { openDesk, planOfRequest, planRequest, requestByCode } from "@samescale/desk";
import { formatRatio, formatSensorSize } from "@samescale/optics";
import {
  type Plan,
  type PlannedView,
  type PlanWishes,
  planViews,
  type RefusedView,
} from "@samescale/practice";
import type { Command } from "commander";
import { CommandFailure } from "../frame/failure.ts";
import { between, type JsonOption, libraryOption, oneOf, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { thisPerson } from "../frame/this-person.ts";

interface Options extends JsonOption {
  readonly practice?: string;
  readonly library: string;
  readonly request?: string;
  readonly place?: string;
  readonly freeM?: number;
  readonly side?: "left" | "right";
  readonly body?: string;
  readonly lens?: string;
}

/** `samescale plan`: a view set with the numbers for the kit and the place (docs/planning.md). */
export function configure(command: Command): void {
  libraryOption(
    practiceOption(command.argument("[set]", "key of a view set; without: the plan kept for --request")),
  )
    .option("--request <code>", "keep the plan for this request, as a new revision")
    .option("--place <key>", "where the pictures are made (without: the first place of the practice)")
    .option(
      "--free-m <m>",
      "free length there, in metres, where it is not the usual one",
      between("--free-m", 0.2, 100),
    )
    .option(
      "--side <side>",
      "left or right, for views that are made of either",
      oneOf("--side", ["left", "right"]),
    )
    .option("--body <id>", "camera body of the register (without: the first that can be used)")
    .option("--lens <id>", "lens of the register for every view (without: by rule)")
    .option("--json", "one JSON object on one line")
    .action(async (key: string | undefined, options: Options) => {
      const plan =
        options.request === undefined
          ? await plainPlan(key, options)
          : await requestPlan(key, options, options.request);
      process.stdout.write(`${options.json ? JSON.stringify(plan) : planText(plan)}\n`);
    });
}

const wishesOf = ({ place, freeM, side, body, lens }: Options): PlanWishes => ({
  ...(place !== undefined && { place }),
  ...(freeM !== undefined && { freeMm: 1000 * freeM }),
  ...(side !== undefined && { side }),
  ...(body !== undefined && { body }),
  ...(lens !== undefined && { lens }),
});

async function plainPlan(key: string | undefined, options: Options): Promise<Plan> {
  const { practice } = await practiceInUse(options);
  const set = practice.viewSets.find((one) => one.key === key);
  if (set) return planViews(set, practice, wishesOf(options));
  throw CommandFailure.badArguments(
    key === undefined
      ? "Expected the key of a view set, or --request"
      : `The practice has no view set ${key}`,
    `It has ${practice.viewSets.map((one) => one.key).join(", ")}.`,
  );
}

async function requestPlan(key: string | undefined, options: Options, code: string): Promise<Plan> {
  const desk = await openDesk(options.library, { mode: key === undefined ? "read" : "open" });
  try {
    const actor = await thisPerson(desk);
    const { id: requestId } = await requestByCode(desk, actor, code);
    if (key === undefined) {
      const plan = await planOfRequest(desk, actor, requestId);
      if (plan) return plan;
      throw CommandFailure.badArguments(
        `Request ${code} has no plan yet`,
        "Name a view set to plan it from.",
      );
    }
    const { practice } = await practiceInUse(options);
    const outcome = await planRequest(
      desk,
      actor,
      { requestId, viewSetKey: key, wishes: wishesOf(options) },
      practice,
    );
    if (outcome.done) return outcome.value;
    throw CommandFailure.badArguments(outcome.reason, "Nothing was kept.");
  } finally {
    await desk.close();
  }
}

/** For a person: what to set and where to stand first, why and what to mind after. */
function planText(plan: Plan): string {
  const { viewSet, place, body, views, refused, minutes } = plan;
  const head = `${viewSet.name}, version ${viewSet.version} · ${place.name}, ${(place.freeMm / 1000).toFixed(2)} m free · ${body.name}, ${formatSensorSize(body.sensor)} · about ${Math.ceil(minutes)} minutes`;
  const cautions = unique(views.flatMap((view) => view.cautions)).map((says) => `! ${says}`);
  const warnings = views.flatMap((view) => view.warnings);
  const shared = unique(warnings.filter((says, i) => warnings.indexOf(says) !== i));
  const blocks = views.map((planned, i) => viewBlock(planned, i, shared));
  const mind = shared.length === 0 ? [] : [shared.map((says) => `Mind: ${says}`).join("\n")];
  return [[head, ...cautions].join("\n"), ...blocks, ...refusedBlocks(refused), ...mind].join("\n\n");
}

const unique = (says: readonly string[]): string[] => [...new Set(says)];

function viewBlock(planned: PlannedView, index: number, saidOnce: readonly string[]): string {
  const { view, fieldMm, depth, fNumber, effectiveFNumber, light, flash } = planned;
  const scale =
    view.scale === "none"
      ? "no scale"
      : `${view.scale === "L" ? "L-shaped" : view.scale} scale ${view.scaleWhere}, ${view.scalePlane}`;
  const sides = view.side === "left" || view.side === "right" ? `, ${view.side}` : "";
  const lines = [
    `${index + 1}  ${formatRatio(planned.magnification)}  ${view.name} (${view.part}, ${view.aspect}${sides}, ${view.orientation})`,
    `   ${planned.lens.name}. ${planned.barrel} Field ${mm(fieldMm.width)} × ${mm(fieldMm.height)} mm.`,
    `   ${planned.camera} Needs ${(planned.spaceMm / 1000).toFixed(2)} m.`,
    `   f/${fNumber} (effective f/${effectiveFNumber.toFixed(effectiveFNumber < 10 ? 1 : 0)}); sharp ${mm(planned.depthOfFieldMm.inFront)} mm before and ${behind(planned)} behind the focus.${depth ? ` ${depth.says}` : ""}`,
    `   ${light.name}: ${light.placement} ${flash ? flash.says : (planned.noFlash ?? "")}`,
    `   Patient: ${view.position.replace(/\.$/, "")}. ${capital(scale)}; ${view.backdrop}.`,
    ...(view.instructions === "" ? [] : [`   ${view.instructions}`]),
    ...(planned.carried === null ? [] : [`   ${planned.carried}`]),
    ...planned.reasons.map((says) => `   Why: ${says}`),
    ...planned.warnings
      .filter((says) => says !== depth?.says && !saidOnce.includes(says))
      .map((says) => `   Mind: ${says}`),
  ];
  return lines.join("\n");
}

/** Views that cannot be made for the same reason are told together. */
function refusedBlocks(refused: readonly RefusedView[]): string[] {
  const alike = Map.groupBy(refused, ({ reason, alternatives }) => [reason, ...alternatives].join("\n"));
  return [...alike.values()].map((views) => {
    const { reason, alternatives } = views[0]!;
    const names = views.map(({ view }) => view.name).join(", ");
    return [
      `×  Cannot be made: ${names}. ${reason}`,
      ...alternatives.map((says, i) => `   ${i + 1}. ${says}`),
    ].join("\n");
  });
}

const mm = (value: number): string => (value >= 20 ? String(Math.round(value)) : value.toFixed(1));
const behind = ({ depthOfFieldMm }: PlannedView): string =>
  Number.isFinite(depthOfFieldMm.behind) ? `${mm(depthOfFieldMm.behind)} mm` : "everything";
const capital = (text: string): string => `${text[0]?.toUpperCase() ?? ""}${text.slice(1)}`;
