import { createHash } from "node:crypto";
import {
  changePractice,
  doneOrThrow,
  PHOTOGRAPHERS,
  type PracticeChanged,
  practiceFile,
  ROLES,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import {
  CONSENT_SCOPES,
  type ConsentScope,
  editYaml,
  readYaml,
  SCOPE_WORDS,
  wordingFor,
} from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { fileText, line } from "./fields.ts";

export interface ShownWording {
  readonly version: string;
  readonly text: string;
  /** Of the text: an answer on record names it. */
  readonly sha256: string;
  /** The one that is put to patients now. */
  readonly isInForce: boolean;
}

export interface WordingsOfScope {
  readonly scope: ConsentScope;
  /** "the health record", as it stands in a sentence. */
  readonly words: string;
  /** The newest first. Empty: nobody can be asked. */
  readonly wordings: readonly ShownWording[];
}

const DEPARTMENT = "department.yaml";

/** What is put to patients: seen by all, new versions by those who answer for it; old ones stay. */
export const wordingRoutes: Area = (app, { desk, practice, practiceFolder }) => {
  app.get("/practice/wordings", { config: { may: ROLES } }, async (): Promise<WordingsOfScope[]> => {
    const { consent } = await practice();
    return CONSENT_SCOPES.map((scope) => {
      const inForce = wordingFor(consent, scope);
      const wordings = consent.wordings
        .filter((wording) => wording.scope === scope)
        .map((wording) => ({
          version: wording.version,
          text: wording.text,
          sha256: createHash("sha256").update(wording.text).digest("hex"),
          isInForce: wording === inForce,
        }));
      return { scope, words: SCOPE_WORDS[scope], wordings: wordings.reverse() };
    });
  });
  const body = z.object({ scope: z.enum(CONSENT_SCOPES), version: line(60), text: fileText });
  app.post(
    "/practice/wordings",
    { config: { may: PHOTOGRAPHERS }, schema: { body } },
    async (request): Promise<PracticeChanged> => {
      const folder = await practiceFolder();
      const file = await practiceFile(folder, DEPARTMENT);
      if (!file) {
        throw new SamescaleError(
          "PRACTICE_FILE_UNKNOWN",
          `The practice has no ${DEPARTMENT}`,
          "Check the practice.",
        );
      }
      const { version = 0, consent } = readYaml(file.text) as {
        version?: number;
        consent?: { wordings?: unknown[] };
      };
      const at = consent?.wordings?.length ?? 0;
      const text = editYaml(file.text, [
        { path: ["consent", "wordings", at], value: request.body },
        { path: ["version"], value: version + 1 },
      ]);
      return doneOrThrow(
        await changePractice(desk, who(request), { folder, path: DEPARTMENT, before: file.sha256, text }),
      );
    },
  );
};
