import { constants } from "node:fs";
import { open } from "node:fs/promises";
import { join } from "node:path";
import { SamescaleError } from "@samescale/errors";

/** What opens the places. Lives in memory only; no message, log or row ever holds it. */
export interface Secrets {
  readonly tablesPassword: string | null;
  readonly storeKey: string | null;
  readonly storeSecret: string | null;
  /** Of the store that backups go to. */
  readonly backupKey: string | null;
  readonly backupSecret: string | null;
}

export const SECRETS_FILE = "secrets.json";

const VARIABLES = {
  tablesPassword: "SAMESCALE_TABLES_PASSWORD",
  storeKey: "SAMESCALE_STORE_KEY",
  storeSecret: "SAMESCALE_STORE_SECRET",
  backupKey: "SAMESCALE_BACKUP_KEY",
  backupSecret: "SAMESCALE_BACKUP_SECRET",
} as const;

type Environment = Readonly<Record<string, string | undefined>>;

/**
 * From the environment, what is not there from the file that `$SAMESCALE_SECRETS` names, else from `secrets.json` in
 * the library's folder. A file that others could read is refused.
 *
 * @throws SamescaleError SECRETS_OPEN, SECRETS_UNREADABLE
 */
export async function secretsFor(folder: string, environment: Environment): Promise<Secrets> {
  const named = environment.SAMESCALE_SECRETS;
  const inFile = await secretsIn(named || join(folder, SECRETS_FILE), Boolean(named));
  const of = (name: keyof Secrets) => environment[VARIABLES[name]] || inFile[name] || null;
  return {
    tablesPassword: of("tablesPassword"),
    storeKey: of("storeKey"),
    storeSecret: of("storeSecret"),
    backupKey: of("backupKey"),
    backupSecret: of("backupSecret"),
  };
}

async function secretsIn(file: string, mustBeThere: boolean): Promise<Partial<Secrets>> {
  const handle = await open(file, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0)).catch((thrown) => {
    if (thrown.code === "ENOENT" && !mustBeThere) return null;
    throw unreadable(file, `cannot be read (${thrown.code})`);
  });
  if (handle === null) return {};
  try {
    const { mode } = await handle.stat();
    if (process.platform !== "win32" && (mode & 0o077) !== 0) {
      throw new SamescaleError(
        "SECRETS_OPEN",
        `${file} may be read by others (mode ${(mode & 0o777).toString(8).padStart(4, "0")})`,
        `Type: chmod 600 ${file}; then change what stood in it, others may know it.`,
      );
    }
    return shapeOf(file, await handle.readFile("utf8"));
  } finally {
    await handle.close();
  }
}

/** Only names are ever repeated. */
function shapeOf(file: string, text: string): Partial<Secrets> {
  let said: unknown;
  try {
    said = JSON.parse(text);
  } catch {
    throw unreadable(file, "is not JSON");
  }
  const entries = Object.entries((said ?? {}) as object);
  if (entries.some(([name, value]) => !(name in VARIABLES) || typeof value !== "string")) {
    throw unreadable(file, `may hold ${Object.keys(VARIABLES).join(", ")}, each as text, and nothing else`);
  }
  return Object.fromEntries(entries) as Partial<Secrets>;
}

/** @throws SamescaleError SECRETS_MISSING */
export function storeCredentials({ storeKey, storeSecret }: Secrets): { key: string; secret: string } {
  if (storeKey !== null && storeSecret !== null) return { key: storeKey, secret: storeSecret };
  throw new SamescaleError(
    "SECRETS_MISSING",
    "The store's key and secret were not given",
    `Set $SAMESCALE_STORE_KEY and $SAMESCALE_STORE_SECRET, or write them into ${SECRETS_FILE} (docs/department.md).`,
  );
}

/**
 * Best a key of its own, so that who has the library's cannot spoil its backups; else the library's.
 * @throws SamescaleError SECRETS_MISSING
 */
export function backupCredentials(secrets: Secrets): { key: string; secret: string } {
  const { backupKey, backupSecret } = secrets;
  if (backupKey === null && backupSecret === null) return storeCredentials(secrets);
  if (backupKey !== null && backupSecret !== null) return { key: backupKey, secret: backupSecret };
  throw new SamescaleError(
    "SECRETS_MISSING",
    "Of the backup store's key and secret only one was given",
    `Set $SAMESCALE_BACKUP_KEY and $SAMESCALE_BACKUP_SECRET, or write them into ${SECRETS_FILE} (docs/department.md).`,
  );
}

function unreadable(file: string, why: string): SamescaleError {
  return new SamescaleError(
    "SECRETS_UNREADABLE",
    `The secrets file ${file} ${why}`,
    "Correct it; docs/department.md has an example.",
  );
}
