import { basename } from "node:path";
import {
  type BackupSecret,
  backUp,
  backupsAt,
  doneOrThrow,
  type KnownBackup,
  knownBackups,
  PHOTOGRAPHERS,
  plainBackupFolder,
  type Role,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { secondPlaceOf } from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { line } from "./fields.ts";

export interface ShownKeeping {
  readonly library: string;
  /** samescale.db, or server and database. */
  readonly tables: string;
  /** The folder of second copies; null: none is named. */
  readonly secondPlace: string | null;
  readonly oneCopyIsEnough: boolean;
  /** As the log tells of them, the newest first. */
  readonly backups: readonly KnownBackup[];
  /** Days since the last one that was whole; null: there was none. */
  readonly daysSince: number | null;
  readonly mayBackUp: boolean;
}

export interface ShownBackup {
  readonly name: string;
  readonly madeAt: string;
  readonly originals: number;
  readonly entries: number;
  readonly faults: number;
}

const DAY_MS = 86_400_000;

const store = z.object({
  endpoint: line(300),
  region: line(60).exactOptional(),
});
const place = line(1000);
/** It goes no further than into the work that needs it: in no log, no answer and no address. */
const passphrase = line(1000).nullable();
const wanted = z.object({ place, store: store.exactOptional(), passphrase });

/** Backups: made, listed; what to do when the library is gone. */
export const keepingRoutes: Area = (app, { desk, practice, jobs }) => {
  const config = { may: PHOTOGRAPHERS };
  app.get("/practice/keeping", { config }, async (request): Promise<ShownKeeping> => {
    const actor = who(request);
    const backups = await knownBackups(desk, actor);
    const whole = backups.find(({ faults }) => faults === 0);
    const now = desk.library.clock().getTime();
    const second = secondPlaceOf(await practice());
    return {
      // Where things lie on a server is for those who run it.
      library: actor.personId == null ? desk.library.folder : basename(desk.library.folder),
      ...{ tables: desk.library.tablesName, backups },
      secondPlace: second.is === "folder" ? second.path : null,
      oneCopyIsEnough: second.is === "one copy is enough",
      daysSince: whole ? Math.max(0, Math.floor((now - Date.parse(whole.madeAt)) / DAY_MS)) : null,
      mayBackUp: mayName(actor.role, actor.personId),
    };
  });
  app.post("/practice/backup", { config, schema: { body: wanted } }, async (request) => {
    const actor = who(request);
    mustMayName(actor.role, actor.personId);
    const { body } = request;
    const secret = secretOf(body.passphrase);
    const at = await placeOf(body.place, body.store);
    const job = jobs.start(actor, "Making a backup", async (step, signal) =>
      doneOrThrow(
        await backUp(desk, actor, {
          ...at,
          ...{ secret, signal, withKeys: false },
          onProgress: ({ step: what, done, of }) => step({ done, total: of, at: what }),
        }),
      ),
    );
    return { job: job.id };
  });
  app.post(
    "/practice/backups",
    { config, schema: { body: wanted } },
    async (request): Promise<ShownBackup[]> => {
      const actor = who(request);
      mustMayName(actor.role, actor.personId);
      const { body } = request;
      const at = await placeOf(body.place, body.store);
      const found = await backupsAt(at, secretOf(body.passphrase), desk.library.folder);
      return found.map(({ name, manifest }) => ({
        ...{ name, madeAt: manifest.madeAt, originals: manifest.originals.count },
        ...{ entries: manifest.head.sequence, faults: manifest.faults.length },
      }));
    },
  );
};

/** Shorter is guessed by a machine in an afternoon. */
const LEAST_PASSPHRASE = 12;

function secretOf(passphrase: string | null): BackupSecret | null {
  if (passphrase === null) return null;
  if (passphrase.length >= LEAST_PASSPHRASE) return { from: "passphrase", text: passphrase };
  throw new SamescaleError(
    "BACKUP_SECRET_SHORT",
    `A passphrase of a backup has ${LEAST_PASSPHRASE} characters or more`,
    "Several words are easy to keep; nobody can open the backup without them.",
  );
}

/** Whoever names a place makes the server write there: with accounts that is for the lead. */
const mayName = (role: Role, personId: string | null | undefined): boolean =>
  personId == null || role === "lead";

function mustMayName(role: Role, personId: string | null | undefined): void {
  if (mayName(role, personId)) return;
  throw new SamescaleError(
    "ROLE_NOT_ALLOWED",
    "Where backups lie is for the lead to name",
    "Ask the lead, or whoever runs the server: samescale backup does the same.",
  );
}

async function placeOf(place: string, store: { endpoint: string; region?: string } | undefined) {
  if (!place.startsWith("s3://")) return { place: await plainBackupFolder(place) };
  if (store) return { place, store };
  throw new SamescaleError(
    "BACKUP_PLACE",
    "A backup place in a store needs the store's address",
    "Give it, such as https://objects.hospital.example.",
  );
}
