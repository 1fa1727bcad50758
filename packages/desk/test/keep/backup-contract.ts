import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import type { PlaceWanted } from "@samescale/record";
import {
  type BackupSecret,
  backUp,
  backupsAt,
  type Desk,
  doneOrThrow,
  openDesk,
  restore,
} from "../../src/index.ts";
import { snapshotOf } from "../snapshot.ts";
import { faultsOf, MARA, NOON, temporaryFolder } from "../support.ts";
import { libraryWithPictures, SECRET, takeMore } from "./library-with-pictures.ts";

/** A backup place that a test may spoil. */
export interface PlaceUnderTest {
  readonly wanted: PlaceWanted;
  /** Names of the pieces that lie there. */
  names(): Promise<string[]>;
  read(name: string): Promise<Uint8Array>;
  write(name: string, bytes: Uint8Array): Promise<void>;
  remove(name: string): Promise<void>;
}

/** What backups are, wherever they lie: the words for what goes wrong as well. */
export function backupContract(kind: string, fresh: (t: TestContext) => Promise<PlaceUnderTest>): void {
  test(`${kind} as a place for backups`, async (t) => {
    const desk = await libraryWithPictures(t, 50_000);
    const place = await fresh(t);
    await contract(t, desk, place);
  });
}

/** One library and one place, from the first backup on: each test goes on where the one before it ended. */
async function contract(t: TestContext, desk: Desk, place: PlaceUnderTest): Promise<void> {
  const { wanted, names, read } = place;
  const options = { ...wanted, secret: SECRET };
  const library = desk.library.folder;

  await t.test(
    "a backup put back is the library it was made of, proved by verify and by the log's head",
    async (t) => {
      await assert.rejects(backupsAt(wanted, SECRET, library), {
        code: "BACKUP_MISSING",
        message: /^There is no backup at .*: its backup\.json is not there$/,
      });
      const made = doneOrThrow(await backUp(desk, MARA, options));
      assert.equal(made.originals, 3);
      assert.equal(made.copied, made.originals + made.derived);
      assert.deepEqual(made.faults, []);
      for (const name of await names()) assert.equal(sha256(await read(name)), name);
      const before = await snapshotOf(desk.library);
      const folder = join(await temporaryFolder(t), "back");
      const how = { ...options, backup: null, folder, clock: () => NOON };
      const restored = await restore(MARA, how);
      assert.deepEqual(restored.faults, []);
      assert.deepEqual({ ...restored.head }, { ...made.head });
      assert.equal(restored.verified.originals, 3);
      const again = await openDesk(folder);
      t.after(() => again.close());
      const after = await snapshotOf(again.library);
      // Both logs went on: the one tells of the backup, the other of the restoring.
      assert.deepEqual({ ...after, acts: null }, { ...before, acts: null });
      assert.deepEqual(after.acts?.slice(0, -1), before.acts?.slice(0, -1));
      const acts = (after.acts ?? []) as { act: string }[];
      assert.equal(acts.at(-1)?.act, "library.restore");
      assert.deepEqual(await faultsOf(again), []);
      assert.equal(await readFile(join(folder, "practice/department.yaml"), "utf8"), "version: 7\n");
      assert.equal((await readdir(folder)).includes("keys"), false);
      await assert.rejects(restore(MARA, how), { code: "RESTORE_PLACE_TAKEN" });
    },
  );

  await t.test(
    "the next backup writes what is new and nothing else; a run that is stopped leaves those before it, and the next goes on",
    async (t) => {
      const listed = async () => (await backupsAt(wanted, SECRET, library)).map(({ name }) => name);
      const [first] = await listed();
      const before = await names();
      await takeMore(t, desk, [60_000, 70_000, 80_000]);
      const stop = new AbortController();
      const stopped = backUp(desk, MARA, {
        ...options,
        signal: stop.signal,
        onProgress: ({ step, copied }) => step === "originals" && copied === 1 && stop.abort(),
      });
      await assert.rejects(stopped, { name: "AbortError" });
      assert.deepEqual(await listed(), [first]);
      const second = doneOrThrow(await backUp(desk, MARA, options));
      assert.equal(second.originals, 6);
      const fresher = (await names()).filter((name) => !before.includes(name));
      const sizes = await Promise.all(fresher.map(async (name) => (await read(name)).length));
      assert.equal(sizes.filter((size) => size > 50_000).length, 3);
      const unchanged = doneOrThrow(await backUp(desk, MARA, options));
      assert.equal(unchanged.copied, 0);
      assert.deepEqual(await listed(), [unchanged.name, second.name, first]);
    },
  );

  await t.test(
    "what is damaged, missing, encrypted with another key or not there is named in the same words",
    async (t) => {
      await assert.rejects(backupsAt(wanted, null, library), { code: "BACKUP_SECRET_MISSING" });
      const wrong: BackupSecret = { from: "key-file", bytes: Buffer.from("6b".repeat(32)) };
      await assert.rejects(backupsAt(wanted, wrong, library), {
        code: "BACKUP_SECRET_WRONG",
        message: "The backup cannot be opened: this is not its key file",
      });

      const [flipped, cut, gone, swapped, other] = (await bySize(place)) as [
        string,
        string,
        string,
        string,
        string,
      ];
      const bytes = Buffer.from(await place.read(flipped));
      bytes[1000] = (bytes[1000] as number) ^ 1;
      await place.write(flipped, bytes);
      await place.write(cut, (await place.read(cut)).slice(0, -20));
      await place.remove(gone);
      await place.write(swapped, await place.read(other));
      const folder = join(await temporaryFolder(t), "back");
      const { faults } = await restore(MARA, { ...options, backup: null, folder });
      for (const name of [flipped, cut, swapped]) {
        const words = new RegExp(`piece ${name} of the backup is damaged`);
        assert.equal(faults.filter((fault) => words.test(fault)).length, 1, faults.join("\n"));
      }
      assert.ok(faults.some((fault) => fault.includes(`piece ${gone} is not in the backup`)));
      // Each once more by the checking that follows.
      assert.equal(faults.filter((fault) => / is missing/.test(fault)).length, 4, faults.join("\n"));
      assert.equal(faults.length, 8);

      const [backup] = await backupsAt(wanted, SECRET, library);
      const rows = backup?.manifest.tables.patient?.pieces[0]?.stored ?? "";
      const spoilt = Buffer.from(await place.read(rows));
      spoilt[spoilt.length - 1] = (spoilt.at(-1) as number) ^ 1;
      await place.write(rows, spoilt);
      const parent = await temporaryFolder(t);
      const restoring = restore(MARA, {
        ...wanted,
        secret: SECRET,
        backup: null,
        folder: join(parent, "back"),
      });
      await assert.rejects(restoring, { code: "BACKUP_DAMAGED", message: new RegExp(rows) });
      assert.deepEqual(await readdir(parent), ["back.restoring"]);
      assert.equal((await readdir(join(parent, "back.restoring"))).includes("originals"), false);
    },
  );
}

export async function bySize({ names, read }: PlaceUnderTest): Promise<string[]> {
  const sized = await Promise.all(
    (await names()).map(async (name) => ({ name, size: (await read(name)).length })),
  );
  return sized.sort((a, b) => b.size - a.size).map(({ name }) => name);
}

const sha256 = (bytes: Uint8Array) => createHash("sha256").update(bytes).digest("hex");
