import type { Kysely } from "kysely";
import type { Migration } from "kysely/migration";
import { index, table } from "./build.ts";
import type { Engine } from "./engine.ts";

/** Patients, requests, cards, frames, derivatives and the custody log. */
export const first = (engine: Engine): Migration => ({
  async up(db) {
    await people(db);
    await cards(db);
    await derivatives(db);
    await custody(db);
    await engine.appendOnly(db, "act");
  },
});

async function people(db: Kysely<unknown>): Promise<void> {
  await table(db, "patient")
    .addColumn("number", "text", (c) => c.notNull())
    .addColumn("authority", "text", (c) => c.notNull())
    .addColumn("name", "text", (c) => c.notNull())
    .addColumn("birth_date", "text")
    .addColumn("details", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .addUniqueConstraint("patient_number", ["authority", "number"])
    .execute();
  await table(db, "request")
    .addColumn("code", "text", (c) => c.notNull().unique())
    .addColumn("patient_id", "text", (c) => c.references("patient.id"))
    .addColumn("kind", "text", (c) => c.notNull())
    .addColumn("due_date", "text")
    .addColumn("state", "text", (c) => c.notNull())
    .addColumn("details", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .execute();
  await table(db, "plan")
    .addColumn("request_id", "text", (c) => c.notNull().references("request.id"))
    .addColumn("revision", "integer", (c) => c.notNull())
    .addColumn("format", "text", (c) => c.notNull())
    .addColumn("body", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .addUniqueConstraint("plan_revision", ["request_id", "revision"])
    .execute();
  await table(db, "visit")
    .addColumn("request_id", "text", (c) => c.notNull().references("request.id"))
    .addColumn("date", "text")
    .addColumn("opened_by", "text", (c) => c.notNull())
    .addColumn("details", "text", (c) => c.notNull())
    .addColumn("void_because", "text")
    .addColumn("made_at", "text", (c) => c.notNull())
    .execute();
  await index(db, "request", ["patient_id"]);
  await index(db, "visit", ["request_id", "date"]);
}

async function cards(db: Kysely<unknown>): Promise<void> {
  await table(db, "intake")
    .addColumn("card_path", "text", (c) => c.notNull())
    .addColumn("begun_at", "text", (c) => c.notNull())
    .addColumn("finished_at", "text")
    .addColumn("abandoned_because", "text")
    .addColumn("clock_offset_s", "integer")
    .addColumn("clock_because", "text")
    .addColumn("clock_by", "text")
    .execute();
  await table(db, "card_file")
    .addColumn("intake_id", "text", (c) => c.notNull().references("intake.id"))
    .addColumn("path", "text", (c) => c.notNull())
    .addColumn("bytes", "bigint", (c) => c.notNull())
    .addColumn("modified_ms", "bigint", (c) => c.notNull())
    .addColumn("sha256", "text")
    .addColumn("state", "text", (c) => c.notNull())
    .addColumn("reason", "text")
    .addUniqueConstraint("card_file_path", ["intake_id", "path"])
    .execute();
  await table(db, "frame")
    .addColumn("intake_id", "text", (c) => c.notNull().references("intake.id"))
    .addColumn("folder", "text", (c) => c.notNull())
    .addColumn("name", "text", (c) => c.notNull())
    .addColumn("position", "integer", (c) => c.notNull())
    .addColumn("kind", "text", (c) => c.notNull())
    .addColumn("taken_raw", "text")
    .addColumn("taken_camera", "text")
    .addColumn("taken_at", "text")
    .addColumn("clock", "text", (c) => c.notNull())
    .addColumn("codes", "text")
    .addColumn("request_id", "text", (c) => c.references("request.id"))
    .addColumn("visit_id", "text", (c) => c.references("visit.id"))
    .addColumn("placed_by", "text")
    .addColumn("placing", "text", (c) => c.notNull())
    .addColumn("flags", "text", (c) => c.notNull())
    .execute();
  await db.schema
    .createTable("file")
    .addColumn("sha256", "text", (c) => c.primaryKey().notNull())
    .addColumn("bytes", "bigint", (c) => c.notNull())
    .addColumn("format", "text", (c) => c.notNull())
    .addColumn("name", "text", (c) => c.notNull())
    .addColumn("frame_id", "text", (c) => c.references("frame.id"))
    .addColumn("info", "text")
    .addColumn("stored_at", "text", (c) => c.notNull())
    .execute();
  await index(db, "intake", ["card_path"]);
  await index(db, "card_file", ["sha256"]);
  await index(db, "frame", ["intake_id", "position"]);
  await index(db, "frame", ["request_id", "taken_at"]);
  await index(db, "frame", ["visit_id"]);
  await index(db, "file", ["frame_id"]);
}

async function derivatives(db: Kysely<unknown>): Promise<void> {
  for (const kind of ["reading", "outline", "measurement", "series", "verdict"]) {
    await table(db, kind)
      .addColumn("frame_id", "text", (c) => c.references("frame.id"))
      .addColumn("request_id", "text", (c) => c.references("request.id"))
      .addColumn("recipe", "text", (c) => c.notNull())
      .addColumn("inputs", "text", (c) => c.notNull())
      .addColumn("body", "text", (c) => c.notNull())
      .addColumn("sha256", "text", (c) => c.notNull())
      .addColumn("made_at", "text", (c) => c.notNull())
      .execute();
    await index(db, kind, ["frame_id"]);
    await index(db, kind, ["request_id"]);
    await index(db, kind, ["sha256"]);
  }
}

async function custody(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable("act")
    .addColumn("sequence", "integer", (c) => c.primaryKey().notNull())
    .addColumn("time", "text", (c) => c.notNull())
    .addColumn("actor", "text", (c) => c.notNull())
    .addColumn("act", "text", (c) => c.notNull())
    .addColumn("subject", "text", (c) => c.notNull())
    .addColumn("details", "text", (c) => c.notNull())
    .addColumn("previous", "text", (c) => c.notNull())
    .addColumn("hash", "text", (c) => c.notNull().unique())
    .execute();
  await index(db, "act", ["subject"]);
}
