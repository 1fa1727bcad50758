import {
  changePractice,
  checkPracticeFolder,
  doneOrThrow,
  type EarlierVersion,
  earlierText,
  earlierVersions,
  PHOTOGRAPHERS,
  type PracticeChanged,
  type PracticeFile,
  practiceFile,
  takeBackPracticeChange,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { editYaml, ownChanges, type YamlChange } from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { changes, fileText, path, sha256 } from "./fields.ts";

/** A file of the practice, and what it was before. */
export interface ShownPracticeFile extends PracticeFile {
  readonly earlier: readonly EarlierVersion[];
}

/** What is wrong, by the file's field: `views.2.ratio`; empty: the whole file. */
export interface ShownFault {
  readonly file: string;
  readonly field: string;
  readonly line: number | null;
  readonly says: string;
}

export interface PracticeChecked {
  readonly faults: readonly ShownFault[];
  /** The file as it would be. */
  readonly text: string;
}

interface Wanted {
  readonly path: string;
  readonly text?: string | undefined;
  readonly changes?: readonly YamlChange[] | undefined;
}

/** A body with the whole text, or with the values that change. */
const wanted = z.object({ path, text: fileText.optional(), changes: changes.optional() });
const body = wanted.extend({ before: sha256.nullable() });

/** The practice's files: read, checked while somebody types, changed, taken back. */
export const practiceFileRoutes: Area = (app, { desk, practiceFolder }) => {
  const config = { may: PHOTOGRAPHERS };
  app.get(
    "/practice/file",
    { config, schema: { querystring: z.object({ path }) } },
    async (request): Promise<ShownPracticeFile> => {
      const file = await mustHave(await practiceFolder(), request.query.path);
      return { ...file, earlier: await earlierVersions(desk, who(request), file.path) };
    },
  );
  app.get(
    "/practice/file/earlier",
    { config, schema: { querystring: z.object({ path, sha256 }) } },
    async ({ query }) => {
      const text = await earlierText(await practiceFolder(), query.path, query.sha256);
      if (text === null) throw unknown(query.path);
      return { text };
    },
  );
  app.post(
    "/practice/check",
    { config, schema: { body: wanted } },
    async ({ body }): Promise<PracticeChecked> => {
      const folder = await practiceFolder();
      const text = await textWanted(folder, body);
      return { faults: await faultsOf(folder, body.path, text), text };
    },
  );
  app.post("/practice/change", { config, schema: { body } }, async (request): Promise<PracticeChanged> => {
    const folder = await practiceFolder();
    const { path, before } = request.body;
    const text = await textWanted(folder, request.body);
    return doneOrThrow(await changePractice(desk, who(request), { folder, path, before, text }));
  });
  const undo = z.object({ path, before: sha256.nullable(), after: sha256.nullable() });
  app.post(
    "/practice/change/undo",
    { config, schema: { body: undo } },
    async (request): Promise<PracticeChanged> => {
      const folder = await practiceFolder();
      return doneOrThrow(await takeBackPracticeChange(desk, who(request), { folder, ...request.body }));
    },
  );
};

async function mustHave(folder: string, path: string): Promise<PracticeFile> {
  const file = await practiceFile(folder, path);
  if (file === null) throw unknown(path);
  return file;
}

const unknown = (path: string) =>
  new SamescaleError(
    "PRACTICE_FILE_UNKNOWN",
    `The practice has no file ${path}`,
    "Open it from the list of the practice.",
  );

/** The whole text that was sent, or the file with the values exchanged; a view set's new values are marked as its own. */
async function textWanted(folder: string, { path, text, changes }: Wanted): Promise<string> {
  if (text !== undefined) return text;
  const file = await mustHave(folder, path);
  const all = path.startsWith("view-sets/") ? ownChanges(file.text, changes ?? []) : (changes ?? []);
  return editYaml(file.text, all);
}

/** What would be wrong with the practice if this file said this. */
export async function faultsOf(folder: string, path: string, text: string | null): Promise<ShownFault[]> {
  const { found } = await checkPracticeFolder(folder, { path, text });
  return found.map((fault) => ({
    file: fault.file,
    field: (fault.path ?? []).map(String).join("."),
    line: fault.line,
    says: fault.says,
  }));
}
