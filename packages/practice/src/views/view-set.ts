import { z } from "zod";
import { fieldWords } from "../read/field-words.ts";
import type { YamlFile } from "../read/yaml-file.ts";
import { type Origin, originSchema, PLAIN_ORIGINS } from "./honesty.ts";
import { contradictionsOf, FIELDS_WITH_ORIGIN, type View, viewFrom, viewSchema } from "./view.ts";

/** The ordered views for one purpose. A changed set gets a new version; plans keep the version they were made from. */
export interface ViewSet {
  readonly key: string;
  readonly name: string;
  readonly version: number;
  readonly purpose: "record" | "series" | "evidence" | "notice";
  readonly views: readonly View[];
}

const fields = z.record(z.string(), z.unknown());

const fileSchema = z.strictObject({
  key: viewSchema.shape.key,
  name: viewSchema.shape.name,
  version: z.number().int().min(1),
  purpose: z.enum(["record", "series", "evidence", "notice"]),
  /** Sources by a short name, beside `practice`, `memory` and `own`. */
  origins: z.record(z.string(), originSchema).default({}),
  /** What holds for every view that does not say otherwise. */
  common: fields.default({}),
  views: z.array(fields).min(1, "a view set has at least one view").max(60),
});

const fromSchema = z.partialRecord(
  z.enum(FIELDS_WITH_ORIGIN as unknown as [string, ...string[]]),
  z.string(),
);

/**
 * One view set from its file. Every fault is told with its line; null when there was one.
 * Each view is `common` with its own fields over it; `from` says by field where a value comes from.
 */
export function viewSetOf(file: YamlFile): ViewSet | null {
  const set = file.check(fileSchema);
  if (set === null) return null;
  const known = { ...PLAIN_ORIGINS, ...set.origins };
  const views = set.views.map((own, i) => viewOf(file, set.common, own, i, known));
  if (views.some((view) => view === null)) return null;
  const { key, name, version, purpose } = set;
  const whole = { key, name, version, purpose, views: views as View[] };
  const faults = faultsBetween(whole);
  for (const { path, says } of faults) file.fault(path, says);
  return faults.length === 0 ? whole : null;
}

function viewOf(
  file: YamlFile,
  common: Readonly<Record<string, unknown>>,
  own: Readonly<Record<string, unknown>>,
  index: number,
  known: Readonly<Record<string, Origin>>,
): View | null {
  const { from: commonFrom, ...commonFields } = common;
  const { from: ownFrom, ...ownFields } = own;
  /** A field that a view takes from `common` is at fault there. */
  const pathOf = (field: PropertyKey | undefined): PropertyKey[] =>
    field === undefined
      ? ["views", index]
      : field in own || !(field in common)
        ? ["views", index, field]
        : ["common", field];
  const checked = viewSchema.safeParse({ ...commonFields, ...ownFields }, { error: fieldWords });
  const origins = originsOf(file, { ...asRecord(commonFrom), ...asRecord(ownFrom) }, pathOf("from"), known);
  if (!checked.success) {
    for (const issue of checked.error.issues) {
      const [field, ...rest] = issue.code === "unrecognized_keys" ? issue.keys : issue.path;
      file.fault([...pathOf(field), ...(issue.code === "unrecognized_keys" ? [] : rest)], issue.message);
    }
    return null;
  }
  const contradictions = contradictionsOf(checked.data);
  for (const { field, says } of contradictions) file.fault(pathOf(field), says);
  return contradictions.length > 0 || origins === null ? null : viewFrom(checked.data, origins);
}

const asRecord = (value: unknown): Record<string, unknown> =>
  typeof value === "object" && value !== null ? { ...value } : {};

function originsOf(
  file: YamlFile,
  from: Readonly<Record<string, unknown>>,
  path: PropertyKey[],
  known: Readonly<Record<string, Origin>>,
): View["origins"] | null {
  const parsed = fromSchema.safeParse({ otherwise: "practice", ...from }, { error: fieldWords });
  if (!parsed.success) {
    for (const issue of parsed.error.issues) file.fault([...path, ...issue.path], issue.message);
    return null;
  }
  const unknown = Object.entries(parsed.data).find(([, name]) => !Object.hasOwn(known, name as string));
  if (unknown) {
    file.fault([...path, unknown[0]], `no origin is named ${String(unknown[1])} in this file`);
    return null;
  }
  const named = Object.entries(parsed.data).map(([field, name]) => [field, known[name as string]!]);
  return Object.fromEntries(named) as View["origins"];
}

/** What only shows when the views of a set are seen together. */
function faultsBetween({ views }: ViewSet): { readonly path: PropertyKey[]; readonly says: string }[] {
  const faults: { path: PropertyKey[]; says: string }[] = [];
  const keys = views.map(({ key }) => key);
  views.forEach((view, i) => {
    const say = (field: string, says: string) => {
      faults.push({ path: ["views", i, field], says });
    };
    if (keys.indexOf(view.key) !== i) say("key", `two views are named ${view.key}`);
    if (view.pairOf === undefined) return;
    const pair = views.find(({ key }) => key === view.pairOf);
    if (!pair) say("pairOf", `no view is named ${view.pairOf}`);
    else if ((pair.scale === "none") === (view.scale === "none")) {
      say("pairOf", `of ${view.key} and ${pair.key} one has to be with and one without a scale`);
    } else if (pair.magnification !== view.magnification) say("pairOf", `${pair.key} is at another ratio`);
  });
  const lines = new Set(views.map(({ referenceLine }) => referenceLine));
  if (lines.has("frankfort-horizontal") && lines.has("natural-head-position")) {
    const at = views.findIndex(({ referenceLine }) => referenceLine === "natural-head-position");
    faults.push({
      path: ["views", at, "referenceLine"],
      says: "natural head position and the Frankfort horizontal are different lines and are not mixed in one set",
    });
  }
  return faults;
}
