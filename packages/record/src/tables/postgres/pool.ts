import { readFileSync } from "node:fs";
import { setTimeout as wait } from "node:timers/promises";
import type { PostgresPool, PostgresPoolClient } from "kysely";
import pg from "pg";
import { asTablesError, isAway } from "./faults.ts";
import { type PostgresPlace, sayPostgresPlace } from "./place.ts";

/** Acts come one after another anyway; more connections only let more people read at once. */
const CONNECTIONS = 8;
const CONNECT_WITHIN_MS = 10_000;
/** A server that is started again after a crash is back within a minute; an act that has not begun can wait. */
const BACK_WITHIN_MS = 60_000;
const ASK_AGAIN_MS = 200;
/** An act takes seconds. Who holds its lock longer without a word has lost the connection and does not know it. */
const SILENT_ACT_MS = 5 * 60_000;

/**
 * Connections to the server, lent to one borrower at a time. Its faults come as our errors; a server that was there
 * and went away is waited for.
 */
export function poolAt(
  place: PostgresPlace,
  options: { readonly readOnly: boolean; readonly waitForLockMs: number },
): PostgresPool {
  const name = sayPostgresPlace(place);
  const pool = new pg.Pool({
    host: place.host,
    port: place.port,
    database: place.database,
    user: place.user,
    ...(place.password === null ? {} : { password: place.password }),
    ssl: tlsOf(place),
    max: CONNECTIONS,
    connectionTimeoutMillis: CONNECT_WITHIN_MS,
    keepAlive: true,
    application_name: "samescale",
    lock_timeout: options.waitForLockMs,
    idle_in_transaction_session_timeout: SILENT_ACT_MS,
    // A commit is on the server's disk before it is reported, whatever the server's default is.
    options: `-c synchronous_commit=on -c default_transaction_read_only=${options.readOnly ? "on" : "off"}`,
    types: { getTypeParser: parserOf as typeof pg.types.getTypeParser },
  });
  // A connection that breaks while nobody waits for an answer must not end the program; its next user is told.
  pool.on("error", () => {});
  pool.on("connect", (client) => client.on("error", () => {}));
  let wasThere = false;

  async function connect(): Promise<PostgresPoolClient> {
    const giveUp = performance.now() + BACK_WITHIN_MS;
    for (;;) {
      try {
        const client = await pool.connect();
        wasThere = true;
        return namingFaults(client, name);
      } catch (thrown) {
        const fault = asTablesError(thrown, name);
        if (!wasThere || !isAway(fault) || performance.now() > giveUp) throw fault;
        await wait(ASK_AGAIN_MS);
      }
    }
  }

  return { connect, end: () => pool.end(), options: {} };
}

function namingFaults(client: pg.PoolClient, name: string): PostgresPoolClient {
  const named = {
    async query(sql: string, parameters: readonly unknown[]) {
      try {
        return await client.query(sql, parameters as unknown[]);
      } catch (thrown) {
        throw asTablesError(thrown, name);
      }
    },
    release: (destroy?: boolean) => client.release(destroy),
  };
  return named as unknown as PostgresPoolClient;
}

function tlsOf({ tls, authorityFile }: PostgresPlace) {
  if (tls === "plain") return false;
  const authority = authorityFile === null ? {} : { ca: readFileSync(authorityFile, "utf8") };
  return { rejectUnauthorized: tls === "verify", ...authority };
}

const INT8 = 20;
const NUMERIC = 1700;

/** Counts and sums are numbers, as SQLite gives them, not the text that the driver makes of int8 and numeric. */
function parserOf(type: number, format?: "text" | "binary") {
  return type === INT8 || type === NUMERIC
    ? Number
    : pg.types.getTypeParser(type, (format ?? "text") as "text");
}
