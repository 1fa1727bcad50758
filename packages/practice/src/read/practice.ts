import { SamescaleError } from "@samescale/errors";
import { type DepartmentRules, departmentOf } from "../department/department.ts";
import type { Tolerances } from "../department/tolerances.ts";
import { tolerancesOf } from "../department/tolerances.ts";
import { type Kit, kitOf, NO_KIT } from "../kit/kit.ts";
import { type ViewSet, viewSetOf } from "../views/view-set.ts";
import { openYaml, type PracticeFault, type PracticeText, sayFault } from "./yaml-file.ts";

/** The department's own rules, view sets and kit, checked as a whole. */
export interface Practice extends Omit<DepartmentRules, "tolerances"> {
  readonly limits: DepartmentRules["tolerances"];
  readonly tolerances: Tolerances;
  readonly viewSets: readonly ViewSet[];
  readonly kit: Kit;
}

export const DEPARTMENT_FILE = "department.yaml";
export const KIT_FILE = "kit.yaml";
export const VIEW_SETS_FOLDER = "view-sets/";

/** What a practice's files say, and every fault. */
export interface ReadPractice {
  /** Null: it does not hold. */
  readonly practice: Practice | null;
  /** One sentence each: file, line, field, what. */
  readonly faults: readonly string[];
  /** The same in parts, for a form that tells them by the field. */
  readonly found: readonly PracticeFault[];
}

/** Every fault of the practice. None: it holds. */
export function readPractice(files: readonly PracticeText[]): ReadPractice {
  const found: PracticeFault[] = [];
  const open = (path: string) => {
    const text = files.find((file) => file.path === path);
    return text ? openYaml(text, found) : null;
  };
  const departmentFile = open(DEPARTMENT_FILE);
  if (!departmentFile) found.push(missing(DEPARTMENT_FILE, "not there"));
  const rules = departmentFile && departmentOf(departmentFile);
  const kitFile = open(KIT_FILE);
  const kit = kitFile ? kitOf(kitFile) : NO_KIT;
  const sets = files
    .filter(({ path }) => path.startsWith(VIEW_SETS_FOLDER))
    .map((text) => ({ file: openYaml(text, found), path: text.path }))
    .map(({ file, path }) => ({ file, path, set: viewSetOf(file) }));
  if (sets.length === 0) found.push(missing(VIEW_SETS_FOLDER, "no view set is there"));
  const firstOf = new Map<string, string>();
  for (const { file, path, set } of sets) {
    if (set === null) continue;
    const before = firstOf.get(set.key);
    if (before === undefined) firstOf.set(set.key, path);
    else file.fault(["key"], `${set.key} is the key of ${before} as well`);
    if (rules === null) continue;
    set.views.forEach((view, i) => {
      if (rules.lights.some(({ key }) => key === view.light)) return;
      file.fault(["views", i, "light"], `${DEPARTMENT_FILE} has no light set-up ${view.light}`);
    });
  }
  const faults = found.map(sayFault);
  if (found.length > 0 || rules === null || kit === null) return { practice: null, faults, found };
  const { tolerances: limits, ...rest } = rules;
  const viewSets = sets.map(({ set }) => set!);
  const practice = { ...rest, limits, tolerances: tolerancesOf(limits), viewSets, kit };
  return { practice, faults, found };
}

const missing = (file: string, says: string): PracticeFault => ({ file, line: null, path: null, says });

const MOST_TOLD = 12;

/**
 * The practice from its files.
 * @param from how the folder is called in a message
 * @throws SamescaleError PRACTICE_INVALID naming file, line and field of every fault
 */
export function parsePractice(files: readonly PracticeText[], from: string): Practice {
  const { practice, faults } = readPractice(files);
  if (practice !== null) return practice;
  const more = faults.length > MOST_TOLD ? `; and ${faults.length - MOST_TOLD} more` : "";
  throw new SamescaleError(
    "PRACTICE_INVALID",
    `The practice ${from} does not hold: ${faults.slice(0, MOST_TOLD).join("; ")}${more}`,
    "Correct the named fields; docs/practice.md lists what each may be.",
  );
}
