import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, test } from "node:test";
import { POSTGRES_ABSENT, startServers } from "../../../packages/record/test/servers/library-elsewhere.ts";
import { TABLES_PASSWORD } from "../../../packages/record/test/servers/postgres.ts";
import { placeWanted } from "../src/frame/store-options.ts";

const servers = await startServers();
const folder = await mkdtemp(join(tmpdir(), "samescale-places-"));
after(async () => {
  await servers?.stop();
  await rm(folder, { recursive: true, force: true });
});

/** Not waited for in one piece: the store answers from this very process. */
function samescale(args: readonly string[], more: Record<string, string> = {}) {
  return new Promise<{ status: number | null; out: string; said: string }>((done) => {
    const main = resolve(import.meta.dirname, "../src/main.ts");
    const child = spawn(process.execPath, ["--disable-warning=ExperimentalWarning", main, ...args], {
      env: { ...process.env, ...more },
    });
    let [out, said] = ["", ""];
    child.stdout.on("data", (piece) => (out += piece));
    child.stderr.on("data", (piece) => (said += piece));
    child.on("close", (status) => done({ status, out, said }));
  });
}

test("a department's library: started over both servers, checked, verified; a wrong password is refused and not repeated", async (t) => {
  if (servers === null) return t.skip(POSTGRES_ABSENT);
  const { tables, originals, endpoint } = await servers.freshPlaces();
  const library = join(folder, "library");
  const places = (address: string) => ["--tables", address, "--originals", originals, "--endpoint", endpoint];
  const overTcp = servers.postgres.overTcp(tables);

  const secret = `wrong-${TABLES_PASSWORD}`;
  const env = { SAMESCALE_TABLES_PASSWORD: secret };
  const refused = await samescale(["library", "start", "--library", library, ...places(overTcp)], env);
  assert.equal(refused.status, 1);
  assert.match(refused.said, /does not let us in.*\n.*\[TABLES_LOGIN_REFUSED\]/);
  assert.ok(!`${refused.out}${refused.said}`.includes(TABLES_PASSWORD));
  assert.deepEqual(await readdir(library).catch(() => []), []);

  const right = { SAMESCALE_TABLES_PASSWORD: TABLES_PASSWORD };
  const started = await samescale(["library", "start", "--library", library, ...places(overTcp)], right);
  assert.deepEqual([started.status, started.said], [0, ""]);
  assert.match(started.out, /Tables: 127\.0\.0\.1:\d+\/\w+ answers; it holds nothing yet\./);
  const checked = await samescale(["library", "check", "--library", library, "--json"], right);
  assert.equal(JSON.parse(checked.out).tables.holds, "a library");
  const verified = await samescale(["verify", "--library", library, "--json"], right);
  assert.equal(JSON.parse(verified.out).summary.holds, true);
  const twice = await samescale(["library", "start", "--library", library, ...places(tables)], right);
  assert.match(twice.said, /\[NOT_A_LIBRARY\]/);
});

test("a department's library goes to a store as a backup, and from there onto other servers", async (t) => {
  if (servers === null) return t.skip(POSTGRES_ABSENT);
  const first = await servers.freshPlaces();
  const second = await servers.freshPlaces();
  const options = ({ tables, originals, endpoint }: typeof first) => [
    ...["--tables", tables, "--originals", originals, "--endpoint", endpoint],
  ];
  const [library, back, key] = ["from", "back", "key"].map((name) => join(folder, name)) as [
    string,
    string,
    string,
  ];
  assert.equal((await samescale(["library", "start", "--library", library, ...options(first)])).status, 0);
  await writeFile(key, "5a".repeat(32), { mode: 0o600 });
  const place = `${first.originals}-backup`;
  const backup = ["backup", place, "--library", library, "--key-file", key];
  assert.throws(() => placeWanted(place, {}), { message: /needs the store's address/ });
  assert.throws(() => placeWanted(folder, { region: "x" }), { message: /is a folder/ });
  const made = await samescale([...backup, "--endpoint", first.endpoint]);
  assert.deepEqual([made.status, made.said], [0, ""]);
  assert.match(made.out, /The backup is whole\./);
  // The store of the backups is asked where it is, the originals' is another one.
  const from = ["restore", place, back, "--key-file", key, "--place-endpoint", first.endpoint];
  const restored = await samescale([...from, ...options(second)]);
  assert.deepEqual([restored.status, restored.said], [0, ""]);
  assert.match(restored.out, /Everything holds/);
  assert.equal(JSON.parse(await readFile(join(back, "places.json"), "utf8")).originals, second.originals);
});
