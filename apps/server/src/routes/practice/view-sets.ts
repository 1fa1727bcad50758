import {
  changePractice,
  doneOrThrow,
  PHOTOGRAPHERS,
  type PracticeChanged,
  type PracticeFile,
  practiceFile,
  practiceFilesOf,
  ROLES,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { formatRatio } from "@samescale/optics";
import {
  cautions,
  copyChanges,
  editYaml,
  FIGURE_NAMES,
  MIRRORS,
  type Origin,
  originOf,
  type Practice,
  REFERENCE_LINES,
  readYaml,
  SCALE_KINDS,
  SIDES,
  sayOrigin,
  type View,
  type ViewFigure,
  type ViewSet,
  viewFigure,
} from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { key, line, sha256 } from "./fields.ts";

export interface ListedViewSet {
  readonly key: string;
  readonly name: string;
  readonly version: number;
  readonly purpose: ViewSet["purpose"];
  readonly views: number;
  readonly minutes: number;
  /** Of its views, from the largest picture of the subject to the smallest. */
  readonly ratios: readonly string[];
  /** How many of its ratios bear which mark. */
  readonly marks: Readonly<Partial<Record<Origin["mark"], number>>>;
  readonly figure: ViewFigure;
}

/** A view as a form changes it: every field as it is written in the file, what all views share laid under its own. */
export interface ViewToEdit {
  readonly key: string;
  readonly name: string;
  readonly ratio: string;
  readonly fields: Readonly<Record<string, unknown>>;
  /** Fields that this view says itself; the others are shared by the set. */
  readonly own: readonly string[];
  readonly origins: Readonly<Record<string, { readonly mark: Origin["mark"]; readonly says: string }>>;
  /** In words. */
  readonly cautions: readonly string[];
  readonly figure: ViewFigure;
}

export interface ViewSetToEdit extends Pick<ViewSet, "key" | "name" | "version" | "purpose"> {
  readonly file: PracticeFile;
  readonly views: readonly ViewToEdit[];
  readonly choices: {
    readonly sides: readonly string[];
    readonly scales: readonly string[];
    readonly mirrors: readonly string[];
    readonly referenceLines: readonly string[];
    readonly figures: readonly string[];
    readonly cautions: readonly string[];
    readonly lights: readonly { readonly key: string; readonly name: string }[];
  };
}

/** The ordered views for each purpose: seen by all, changed by those who photograph. */
export const viewSetRoutes: Area = (app, { desk, practice, practiceFolder }) => {
  app.get(
    "/practice/view-sets",
    { config: { may: ROLES } },
    async (): Promise<ListedViewSet[]> => (await practice()).viewSets.map(listed),
  );
  app.get(
    "/practice/view-sets/:key",
    { config: { may: PHOTOGRAPHERS }, schema: { params: z.object({ key }) } },
    async ({ params }): Promise<ViewSetToEdit> => {
      const whole = await practice();
      const set = whole.viewSets.find((one) => one.key === params.key);
      const file = set && (await fileOf(await practiceFolder(), set.key));
      if (!set || !file) throw unknown();
      return toEdit(whole, set, file);
    },
  );
  const copy = z.object({ from: key, key, name: line(200) });
  app.post(
    "/practice/view-sets",
    { config: { may: PHOTOGRAPHERS }, schema: { body: copy } },
    async (request): Promise<PracticeChanged> => {
      const folder = await practiceFolder();
      const { from, key, name } = request.body;
      const file = await fileOf(folder, from);
      if (!file) throw unknown();
      const text = editYaml(file.text, copyChanges(key, name));
      const path = `view-sets/${key}.yaml`;
      return doneOrThrow(await changePractice(desk, who(request), { folder, path, before: null, text }));
    },
  );
  app.delete(
    "/practice/view-sets/:key",
    {
      config: { may: PHOTOGRAPHERS },
      schema: { params: z.object({ key }), querystring: z.object({ before: sha256 }) },
    },
    async (request): Promise<PracticeChanged> => {
      const folder = await practiceFolder();
      const file = await fileOf(folder, request.params.key);
      if (!file) throw unknown();
      const change = { folder, path: file.path, before: request.query.before, text: null };
      return doneOrThrow(await changePractice(desk, who(request), change));
    },
  );
};

const unknown = () =>
  new SamescaleError("VIEW_SET_UNKNOWN", "The practice has no such view set", "Choose one from the list.");

/** The file that says which key is its own business; a name that cannot be changed here is opened in a text editor. */
async function fileOf(folder: string, key: string): Promise<PracticeFile | null> {
  for (const { path, text } of await practiceFilesOf(folder)) {
    if (!path.startsWith("view-sets/")) continue;
    if ((readYaml(text) as { key?: unknown } | null)?.key === key) return await practiceFile(folder, path);
  }
  return null;
}

/** At 36 x 24 mm, as the ratio is written. */
const figureOf = (view: View): ViewFigure => {
  const [long, short] = [36 / view.magnification, 24 / view.magnification];
  const field = view.orientation === "landscape" ? [long, short] : [short, long];
  return viewFigure(view, { width: field[0]!, height: field[1]! });
};

function listed({ key, name, version, purpose, views }: ViewSet): ListedViewSet {
  const ratios = [...new Set(views.map(({ magnification }) => magnification))].toSorted((a, b) => b - a);
  const marks: Partial<Record<Origin["mark"], number>> = {};
  for (const view of views) {
    const { mark } = originOf(view, "ratio");
    marks[mark] = (marks[mark] ?? 0) + 1;
  }
  return {
    ...{ key, name, version, purpose, marks, views: views.length },
    minutes: views.reduce((sum, view) => sum + view.minutes, 0),
    ratios: ratios.map(formatRatio),
    figure: figureOf(views[0]!),
  };
}

interface RawSet {
  readonly common?: Readonly<Record<string, unknown>>;
  readonly views: readonly Readonly<Record<string, unknown>>[];
}

function toEdit(practice: Practice, set: ViewSet, file: PracticeFile): ViewSetToEdit {
  const { common = {}, views: raw } = readYaml(file.text) as RawSet;
  const { key, name, version, purpose } = set;
  return {
    ...{ key, name, version, purpose, file },
    views: set.views.map((view, i) => {
      const fields = { ...common, ...raw[i] };
      return {
        ...{ key: view.key, name: view.name, ratio: formatRatio(view.magnification), fields },
        own: Object.keys(raw[i] ?? {}),
        origins: Object.fromEntries(
          [...Object.keys(fields), "view"].map((field) => {
            const origin = originOf(view, field);
            return [field, { mark: origin.mark, says: sayOrigin(origin) }];
          }),
        ),
        cautions: view.cautions.map((caution) => cautions[caution]),
        figure: figureOf(view),
      };
    }),
    choices: {
      sides: SIDES,
      scales: SCALE_KINDS,
      mirrors: MIRRORS,
      referenceLines: REFERENCE_LINES,
      figures: FIGURE_NAMES,
      cautions: Object.keys(cautions),
      lights: practice.lights.map(({ key, name }) => ({ key, name })),
    },
  };
}
