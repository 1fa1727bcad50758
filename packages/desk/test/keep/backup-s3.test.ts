import assert from "node:assert/strict";
import { randomBytes } from "node:crypto";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { after, type TestContext, test } from "node:test";
import { inspect } from "node:util";
import { notesInS3 } from "../../../record/src/backup/notes-s3.ts";
import { passingThrough } from "../../../record/src/originals/s3/cache.ts";
import { bucketAt } from "../../../record/src/originals/s3/client.ts";
import { s3Place } from "../../../record/src/originals/s3/place.ts";
import { s3Originals } from "../../../record/src/originals/s3/store.ts";
import { startInFrontOf, startS3 } from "../../../record/test/servers/s3.ts";
import {
  type BackupSecret,
  backUp,
  backupsAt,
  beginLibrary,
  doneOrThrow,
  openDesk,
  restore,
} from "../../src/index.ts";
import { MARA, temporaryFolder } from "../support.ts";
import { backupContract, type PlaceUnderTest } from "./backup-contract.ts";
import { libraryWithPictures, SECRET } from "./library-with-pictures.ts";

const server = await startS3();
process.env.SAMESCALE_BACKUP_KEY = server.key;
process.env.SAMESCALE_BACKUP_SECRET = server.secret;
after(() => server.stop());

backupContract("S3", freshPlace);

async function freshPlace(t: TestContext): Promise<PlaceUnderTest> {
  const place = `s3://${server.bucket}/${randomBytes(6).toString("hex")}`;
  const store = { endpoint: server.endpoint };
  const bucket = bucketAt(s3Place({ ...store, originals: place }, server));
  t.after(() => bucket.close());
  const pieces = s3Originals(bucket, "pieces", passingThrough(await temporaryFolder(t)));
  const notes = notesInS3(bucket);
  const keyOf = (name: string) => `pieces/${name.slice(0, 2)}/${name.slice(2, 4)}/${name}`;
  return {
    wanted: { place, store },
    async names() {
      const names: string[] = [];
      for await (const listed of pieces.list()) {
        assert.equal(listed.kind, "original", inspect(listed));
        if (listed.kind === "original") names.push(listed.sha256);
      }
      return names;
    },
    read: async (name) => (await notes.read(keyOf(name))) ?? assert.fail(`no piece ${name}`),
    write: (name, bytes) => notes.write(keyOf(name), bytes),
    async remove(name) {
      await pieces.destroy(name);
    },
  };
}

const faultOf = (work: Promise<unknown>) =>
  work.then(
    () => assert.fail("expected a fault"),
    (thrown) => thrown as { code: string; message: string },
  );

test("S3: a store that lets nobody in, is not there, breaks off in the middle or is the library's own is named, without its secret", async (t) => {
  const desk = await libraryWithPictures(t);
  const { wanted } = await freshPlace(t);
  const plain = { ...wanted, secret: null as BackupSecret | null };
  const swordfish = "swordfish-7f3a";
  process.env.SAMESCALE_BACKUP_SECRET = "";
  const half = await faultOf(backUp(desk, MARA, plain));
  assert.equal(half.code, "SECRETS_MISSING");
  process.env.SAMESCALE_BACKUP_KEY = "";
  // A file that others cannot read will do as well, with the library's own key where there is no other.
  const secrets = join(desk.library.folder, "secrets.json");
  await writeFile(secrets, JSON.stringify({ storeKey: swordfish, storeSecret: swordfish }), { mode: 0o600 });
  const refused = await faultOf(backUp(desk, MARA, plain));
  assert.equal(refused.code, "STORE_REFUSED");
  process.env.SAMESCALE_BACKUP_KEY = server.key;
  process.env.SAMESCALE_BACKUP_SECRET = server.secret;
  const noBucket = await faultOf(backUp(desk, MARA, { ...plain, place: "s3://no-such-bucket/x" }));
  assert.equal(noBucket.code, "STORE_MISSING");
  const noWay = await faultOf(backUp(desk, MARA, { ...plain, store: { endpoint: "http://127.0.0.1:1" } }));
  assert.equal(noWay.code, "STORE_UNREACHABLE");
  const odd = await faultOf(backUp(desk, MARA, { ...plain, place: `s3://${swordfish}@x/../y` }));
  assert.deepEqual([odd.code, /The field place/.test(odd.message)], ["PLACES_INVALID", true]);
  const open = await faultOf(backUp(desk, MARA, { ...plain, store: { endpoint: "http://objects.example" } }));
  assert.equal(open.code, "PLACES_INVALID");
  for (const fault of [refused, noBucket, noWay, odd, open]) {
    assert.ok(!inspect(fault, { depth: 9, showHidden: true }).includes(swordfish));
  }

  // Away in the middle: the run ends and nothing is called a backup; the library does not seem to lack pictures.
  let answers = 0;
  let away = Number.POSITIVE_INFINITY;
  const proxy = await startInFrontOf(server, (_, answer) => {
    if (answers++ < away) return false;
    answer.writeHead(403).end();
    return true;
  });
  t.after(() => proxy.stop());
  const through = { ...plain, secret: SECRET, store: { endpoint: proxy.endpoint } };
  away = 60;
  assert.equal((await faultOf(backUp(desk, MARA, through))).code, "STORE_REFUSED");
  assert.ok(answers > 60, `${answers} answers`);
  away = Number.POSITIVE_INFINITY;
  assert.deepEqual(await backupsAt(through, SECRET, desk.library.folder), []);
  doneOrThrow(await backUp(desk, MARA, through));
  const folder = join(await temporaryFolder(t), "back");
  const restoring = { ...through, backup: null, folder };
  const stopAt = (files: number) => ({
    onProgress: ({ step, done }: { step: string; done: number }) => {
      if (step === "originals" && done === files) away = 0;
    },
  });
  assert.equal((await faultOf(restore(MARA, { ...restoring, ...stopAt(1) }))).code, "STORE_REFUSED");
  away = Number.POSITIVE_INFINITY;
  const restored = await restore(MARA, restoring);
  assert.deepEqual([restored.originals, restored.faults], [3, []]);

  const library = join(await temporaryFolder(t), "in-store");
  process.env.SAMESCALE_STORE_KEY = server.key;
  process.env.SAMESCALE_STORE_SECRET = server.secret;
  const originals = `s3://${server.bucket}/library-${randomBytes(4).toString("hex")}`;
  await beginLibrary(library, { originals, endpoint: server.endpoint });
  const inStore = await openDesk(library);
  t.after(() => inStore.close());
  const mixed = await faultOf(
    backUp(inStore, MARA, { ...plain, place: `${originals}/backup`, store: { endpoint: server.endpoint } }),
  );
  assert.equal(mixed.code, "BACKUP_IN_LIBRARY");
});
