import type { Kysely } from "kysely";
import type { Migration } from "kysely/migration";
import { index, table } from "./build.ts";
import type { Engine } from "./engine.ts";

/** Consent, releases, people, second copies, derived pictures, holds; the tree over the log and its signed heads. */
export const record = (engine: Engine): Migration => ({
  async up(db) {
    await columns(db);
    await people(db);
    await consents(db);
    await releases(db);
    await pictures(db);
    await tree(db, engine);
    await search(db, engine);
  },
});

async function columns(db: Kysely<unknown>): Promise<void> {
  const added: Record<string, readonly string[]> = {
    request: ["priority", "sensitive", "access", "requester_id", "external"],
    frame: ["sensitive", "trashed_at", "trashed_because"],
    file: ["kind", "destroyed_at", "destroyed_because"],
  };
  for (const [name, names] of Object.entries(added)) {
    for (const column of names) await db.schema.alterTable(name).addColumn(column, "text").execute();
  }
  await db.schema.createIndex("request_external").unique().on("request").column("external").execute();
  await index(db, "request", ["requester_id"]);
}

async function people(db: Kysely<unknown>): Promise<void> {
  await table(db, "person")
    .addColumn("login", "text", (c) => c.notNull().unique())
    .addColumn("name", "text", (c) => c.notNull())
    .addColumn("role", "text", (c) => c.notNull())
    .addColumn("password", "text")
    .addColumn("state", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .execute();
  await table(db, "session")
    .addColumn("person_id", "text", (c) => c.notNull().references("person.id"))
    .addColumn("made_at", "text", (c) => c.notNull())
    .addColumn("expires_at", "text", (c) => c.notNull())
    .addColumn("revoked_at", "text")
    .addColumn("revoked_because", "text")
    .execute();
  await index(db, "session", ["person_id"]);
}

async function consents(db: Kysely<unknown>): Promise<void> {
  await table(db, "consent")
    .addColumn("patient_id", "text", (c) => c.references("patient.id"))
    .addColumn("request_id", "text", (c) => c.references("request.id"))
    .addColumn("frames", "text")
    .addColumn("scope", "text", (c) => c.notNull())
    .addColumn("answer", "text", (c) => c.notNull())
    .addColumn("capacity", "text", (c) => c.notNull())
    .addColumn("given_by", "text", (c) => c.notNull())
    .addColumn("taken_by", "text", (c) => c.notNull())
    .addColumn("wording", "text", (c) => c.notNull())
    .addColumn("wording_version", "text", (c) => c.notNull())
    .addColumn("publication", "text")
    .addColumn("given_at", "text", (c) => c.notNull())
    .addColumn("until", "text")
    .addColumn("withdrawn_at", "text")
    .addColumn("withdrawn_by", "text")
    .addColumn("withdrawn_because", "text")
    .addColumn("details", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .execute();
  await index(db, "consent", ["patient_id"]);
  await index(db, "consent", ["request_id"]);
  await table(db, "portrayed")
    .addColumn("request_id", "text", (c) => c.notNull().references("request.id"))
    .addColumn("name", "text", (c) => c.notNull())
    .addColumn("frames", "text")
    .addColumn("made_at", "text", (c) => c.notNull())
    .addColumn("void_because", "text")
    .execute();
  await index(db, "portrayed", ["request_id"]);
  await table(db, "capacity")
    .addColumn("patient_id", "text", (c) => c.notNull().references("patient.id"))
    .addColumn("regained_on", "text", (c) => c.notNull())
    .addColumn("assessed_by", "text", (c) => c.notNull())
    .addColumn("basis", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .execute();
  await index(db, "capacity", ["patient_id"]);
  await table(db, "access_grant")
    .addColumn("actor", "text", (c) => c.notNull())
    .addColumn("request_id", "text", (c) => c.notNull().references("request.id"))
    .addColumn("because", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .addColumn("until", "text", (c) => c.notNull())
    .addColumn("reviewed_by", "text")
    .addColumn("reviewed_at", "text")
    .addColumn("review", "text")
    .execute();
  await index(db, "access_grant", ["request_id"]);
}

async function releases(db: Kysely<unknown>): Promise<void> {
  await table(db, "research_project")
    .addColumn("name", "text", (c) => c.notNull().unique())
    .addColumn("key", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .execute();
  await table(db, "release")
    .addColumn("request_id", "text", (c) => c.references("request.id"))
    .addColumn("patient_id", "text", (c) => c.references("patient.id"))
    .addColumn("scope", "text", (c) => c.notNull())
    .addColumn("recipient", "text", (c) => c.notNull())
    .addColumn("purpose", "text", (c) => c.notNull())
    .addColumn("publication", "text")
    .addColumn("consents", "text", (c) => c.notNull())
    .addColumn("form", "text", (c) => c.notNull())
    .addColumn("folder", "text", (c) => c.notNull())
    .addColumn("project_id", "text", (c) => c.references("research_project.id"))
    .addColumn("recipe", "text", (c) => c.notNull())
    .addColumn("receipt", "text", (c) => c.notNull())
    .addColumn("expires_on", "text")
    .addColumn("released_by", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .addColumn("handed_over_at", "text")
    .addColumn("taken_back_at", "text")
    .addColumn("taken_back_because", "text")
    .addColumn("recall_because", "text")
    .addColumn("recalled_at", "text")
    .addColumn("recall_answer", "text")
    .execute();
  await index(db, "release", ["request_id"]);
  await index(db, "release", ["patient_id"]);
  await table(db, "release_item")
    .addColumn("release_id", "text", (c) => c.notNull().references("release.id"))
    .addColumn("frame_id", "text", (c) => c.references("frame.id"))
    .addColumn("original", "text")
    .addColumn("name", "text", (c) => c.notNull())
    .addColumn("sha256", "text", (c) => c.notNull())
    .addColumn("bytes", "bigint", (c) => c.notNull())
    .execute();
  await index(db, "release_item", ["release_id"]);
  await index(db, "release_item", ["frame_id"]);
  await index(db, "release_item", ["sha256"]);
  await table(db, "hold")
    .addColumn("subject", "text", (c) => c.notNull())
    .addColumn("because", "text", (c) => c.notNull())
    .addColumn("placed_by", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .addColumn("lifted_at", "text")
    .addColumn("lifted_by", "text")
    .addColumn("lifted_because", "text")
    .execute();
  await index(db, "hold", ["subject"]);
}

async function pictures(db: Kysely<unknown>): Promise<void> {
  for (const kind of ["picture", "mask"]) {
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
  await table(db, "copy")
    .addColumn("sha256", "text", (c) => c.notNull().references("file.sha256"))
    .addColumn("place", "text", (c) => c.notNull())
    .addColumn("bytes", "bigint", (c) => c.notNull())
    .addColumn("verified_at", "text", (c) => c.notNull())
    .addUniqueConstraint("copy_place", ["sha256", "place"])
    .execute();
}

async function tree(db: Kysely<unknown>, engine: Engine): Promise<void> {
  await db.schema
    .createTable("tree_node")
    .addColumn("level", "integer", (c) => c.notNull())
    .addColumn("position", "integer", (c) => c.notNull())
    .addColumn("hash", "text", (c) => c.notNull())
    .addPrimaryKeyConstraint("tree_node_key", ["level", "position"])
    .execute();
  await table(db, "signing_key")
    .addColumn("public_key", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .addColumn("endorsed_by", "text")
    .addColumn("endorsement", "text")
    .addColumn("retired_at", "text")
    .execute();
  await db.schema
    .createTable("signed_head")
    .addColumn("size", "integer", (c) => c.primaryKey().notNull())
    .addColumn("root", "text", (c) => c.notNull())
    .addColumn("hash", "text", (c) => c.notNull())
    .addColumn("time", "text", (c) => c.notNull())
    .addColumn("key_id", "text", (c) => c.notNull().references("signing_key.id"))
    .addColumn("signature", "text", (c) => c.notNull())
    .execute();
  await table(db, "time_stamp")
    .addColumn("size", "integer", (c) => c.notNull().references("signed_head.size"))
    .addColumn("reply", "text", (c) => c.notNull())
    .addColumn("made_at", "text", (c) => c.notNull())
    .execute();
  for (const name of ["tree_node", "signed_head", "time_stamp"]) await engine.appendOnly(db, name);
}

/** Computed from the other tables, so neither sealed nor backed up: `samescale find --rebuild` makes it again. */
async function search(db: Kysely<unknown>, engine: Engine): Promise<void> {
  await db.schema
    .createTable("search_document")
    .addColumn("key", "bigint", (c) => c.primaryKey().notNull())
    .addColumn("kind", "text", (c) => c.notNull())
    .addColumn("id", "text", (c) => c.notNull().unique())
    .addColumn("request_id", "text")
    .addColumn("facets", "text", (c) => c.notNull())
    .execute();
  await index(db, "search_document", ["kind", "key"]);
  await table(db, "search_state")
    .addColumn("form", "integer", (c) => c.notNull())
    .addColumn("sequence", "integer", (c) => c.notNull())
    .execute();
  await engine.words.make(db);
}
