import type { Migration } from "kysely/migration";
import { index } from "./build.ts";

/** A session that goes on under a new token. */
export const renewedSessions = (): Migration => ({
  async up(db) {
    await db.schema.alterTable("session").addColumn("token", "text").execute();
    await db.schema.alterTable("session").addColumn("renewed_at", "text").execute();
    await index(db, "session", ["token"]);
  },
});
