import type { Kysely } from "kysely";
import type { ReadonlyKysely } from "kysely/readonly";
import type { Schema, Writing } from "../src/index.ts";

/** Checked by the compiler alone: what cannot be changed in life cannot be changed in the type either. */
export async function unchangeable(db: Kysely<Schema>, read: ReadonlyKysely<Schema>, writing: Writing) {
  await db.updateTable("file").set({ frame_id: "f" }).execute();
  // @ts-expect-error the hash of an original is what names it
  await db.updateTable("file").set({ sha256: "0" }).execute();
  // @ts-expect-error what the camera wrote stays what the camera wrote
  await db.updateTable("frame").set({ taken_raw: "2026" }).execute();
  // @ts-expect-error a result belongs to its recipe
  await db.updateTable("measurement").set({ body: "{}" }).execute();
  // @ts-expect-error the log is append-only
  await db.updateTable("act").set({ actor: "nobody" }).execute();
  await writing.update("frame", "f", { placing: "by hand" });
  // @ts-expect-error the same through the one door for writing
  await writing.update("file", "0", { bytes: 1 });
  // @ts-expect-error entries are written by the library itself, with their act
  await writing.insert("act", {});
  // @ts-expect-error reading is not writing
  await read.updateTable("frame").set({ placing: "x" }).execute();
}
