import { PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import type { FileKind } from "./group-files.ts";
import { type CardFile, writeCardFile } from "./intake-rows.ts";
import { writeCopy } from "./keep-copy.ts";

export interface FileToStore {
  readonly intakeId: string;
  readonly path: string;
  readonly bytes: number;
  readonly modifiedMs: number;
  /** Of the original, which is in the store and was read back. */
  readonly sha256: string;
  readonly format: string;
  readonly kind: FileKind;
  /** Where a second copy was read back as well; null: nowhere. */
  readonly copyAt: string | null;
}

/** Gives an original its row, and the card's listing its line: from here on it is in the library. */
export const storeFile = defineAct<FileToStore, { readonly state: "stored" | "already" }>({
  name: "file.store",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ intakeId, path, bytes, modifiedMs, sha256, format, kind, copyAt }, context) {
    const { writing, tables, now } = context;
    const known = await tables
      .selectFrom("file")
      .select("sha256")
      .where("sha256", "=", sha256)
      .executeTakeFirst();
    const state = known ? "already" : "stored";
    if (!known) {
      const name = path.slice(path.lastIndexOf("/") + 1);
      const row = { sha256, bytes, format, name, frame_id: null, info: null, stored_at: now };
      await writing.insert("file", { ...row, kind: kind === "picture" ? null : kind });
    }
    const file: CardFile = { path, bytes, modifiedMs, sha256, state, reason: null };
    const wroteFile = await writeCardFile(context, intakeId, file);
    const wroteCopy = copyAt !== null && (await writeCopy(context, sha256, copyAt));
    const details = { path, bytes, state, copyAt };
    const deed = { act: "file.store", subject: `file/${sha256}`, details };
    return { value: { state }, deed: wroteFile || wroteCopy || !known ? deed : null };
  },
});
