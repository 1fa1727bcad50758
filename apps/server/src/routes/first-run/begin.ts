import { join } from "node:path";
import {
  changePractice,
  doneOrThrow,
  isEmptyLibrary,
  isStartingPractice,
  PHOTOGRAPHERS,
  type PracticeChanged,
  practiceFile,
  startPractice,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import {
  addItem,
  CHECKS,
  editYaml,
  freeItemId,
  type KitGroup,
  kitGroups,
  patientNumberFormatSchema,
  patientNumberOf,
  readYaml,
  type YamlChange,
} from "@samescale/practice";
import { z } from "zod";
import type { Area, AreaDeps } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { line } from "../practice/fields.ts";

/** How far a new department has come. */
export interface FirstRunState {
  /** Nothing was done in the library yet, and it has no practice of its own. */
  readonly isNeeded: boolean;
  /** Nothing was done in the library yet: the steps can be gone. */
  readonly isEmpty: boolean;
  readonly practiceIsOwn: boolean;
  readonly department: string;
  readonly ageOfMajority: number;
  readonly patientNumberFormats: readonly {
    readonly name: string;
    readonly pattern: string;
    readonly check: string;
  }[];
  readonly checks: readonly string[];
  /** Bodies and lenses of the register, in words. */
  readonly kit: readonly string[];
  /** Groups of the starting register that a department may begin with, and how many things are in each. */
  readonly groups: readonly {
    readonly group: KitGroup;
    readonly things: number;
    readonly names: readonly string[];
  }[];
}

/** What an example says of a pattern. */
export interface NumberTried {
  /** What is wrong with the pattern itself. */
  readonly fault: string | null;
  readonly fits: boolean;
  readonly check: "right" | "wrong" | "none";
}

const number = z.object({ name: line(80), pattern: line(80), check: z.enum(CHECKS) });
const GROUPS = Object.keys(kitGroups) as [KitGroup, ...KitGroup[]];
const fields = z.record(
  line(40),
  z.union([
    line(200),
    z.number(),
    z.boolean(),
    z.null(),
    z.array(line(60)).max(30),
    z.record(line(40), z.union([line(40), z.number()])),
  ]),
);
/** Entered by hand in the first step of the kit; the others may begin as the starting register has them. */
const ENTERED: readonly KitGroup[] = ["bodies", "lenses", "flashes", "scales", "batteries"];

/** Three steps to a working department: each can be left and gone on with. */
export const beginRoutes: Area = (app, deps) => {
  const { desk, practice, practiceFolder } = deps;
  const config = { may: PHOTOGRAPHERS };
  app.get("/first-run", { config }, async (): Promise<FirstRunState> => {
    const isOwn = !isStartingPractice(await practiceFolder());
    const { department, consent, patientNumberFormats, kit } = await practice();
    const isEmpty = await isEmptyLibrary(desk);
    return {
      ...{ isNeeded: !isOwn && isEmpty, isEmpty },
      practiceIsOwn: isOwn,
      department: isOwn ? department : "",
      ageOfMajority: consent.ageOfMajority,
      patientNumberFormats: isOwn ? patientNumberFormats : [],
      checks: CHECKS,
      kit: isOwn ? [...kit.bodies, ...kit.lenses].map(({ name }) => name) : [],
      groups: GROUPS.filter((group) => !ENTERED.includes(group) && kit[group].length > 0).map((group) => ({
        group,
        things: kit[group].length,
        names: kit[group].map(({ name }) => name),
      })),
    };
  });
  const trying = number.omit({ name: true }).extend({ example: line(80) });
  app.post(
    "/first-run/number",
    { config, schema: { body: trying } },
    async ({ body }): Promise<NumberTried> => {
      const { example, ...format } = body;
      const read = patientNumberFormatSchema.safeParse({ name: "x", ...format });
      if (!read.success) {
        return { fault: read.error.issues[0]?.message ?? "", fits: false, check: "none" };
      }
      const fitting = patientNumberOf(example, [read.data]);
      return { fault: null, fits: fitting !== null, check: fitting?.check ?? "none" };
    },
  );
  const step1 = z.object({
    department: line(200),
    ageOfMajority: z.number(),
    number: number.nullable(),
  });
  app.post(
    "/first-run/department",
    { config, schema: { body: step1 } },
    async (request): Promise<PracticeChanged> => {
      const { department, ageOfMajority, number } = request.body;
      return await changed(deps, who(request), "department.yaml", (text) =>
        editYaml(text, [
          { path: ["department"], value: department },
          { path: ["consent", "ageOfMajority"], value: ageOfMajority },
          ...(number === null
            ? []
            : [{ path: ["patientNumberFormats"], value: [number] } satisfies YamlChange]),
        ]),
      );
    },
  );
  const step2 = z.object({
    things: z.array(z.object({ group: z.enum(GROUPS), name: line(200), fields })).max(60),
    keep: z.array(z.enum(GROUPS)).max(GROUPS.length),
  });
  app.post(
    "/first-run/kit",
    { config, schema: { body: step2 } },
    async (request): Promise<PracticeChanged> => {
      const { things, keep } = request.body;
      return await changed(deps, who(request), "kit.yaml", (before) => {
        const starting = (readYaml(before) ?? {}) as Partial<Record<KitGroup, unknown[]>>;
        let text = "# What this department photographs with.\nversion: 1\n";
        for (const { group, name, fields } of things) {
          text = addItem(text, group, { id: freeItemId(text, name), name, ...fields });
        }
        const kept = keep.filter((group) => !ENTERED.includes(group) && starting[group]);
        return editYaml(
          text,
          kept.map((group) => ({ path: [group], value: starting[group] })),
        );
      });
    },
  );
};

/** A department's own file changed; the practice is made its own before, if it is not yet. */
async function changed(
  { desk, practiceFolder }: Pick<AreaDeps, "desk" | "practiceFolder">,
  actor: ReturnType<typeof who>,
  path: string,
  change: (text: string) => string,
): Promise<PracticeChanged> {
  if (!(await isEmptyLibrary(desk))) {
    throw new SamescaleError(
      "LIBRARY_IN_USE",
      "The three steps are for an empty library, and this one is in use",
      "Change what is needed under Practice.",
    );
  }
  if (isStartingPractice(await practiceFolder())) await startPractice(join(desk.library.folder, "practice"));
  const folder = await practiceFolder();
  const file = await practiceFile(folder, path);
  if (file === null) {
    throw new SamescaleError(
      "PRACTICE_FILE_UNKNOWN",
      `The practice has no file ${path}`,
      "Check the practice.",
    );
  }
  const wanted = { folder, path, before: file.sha256, text: change(file.text) };
  return doneOrThrow(await changePractice(desk, actor, wanted));
}
