import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, test } from "node:test";

const main = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-custody-"));
after(() => rmSync(folder, { recursive: true, force: true }));

function samescale(...args: readonly string[]) {
  const env = { ...process.env, SAMESCALE_LIBRARY: "", NODE_COMPILE_CACHE: join(folder, "compiled") };
  const { status, stdout, stderr } = spawnSync(process.execPath, [main, ...args], {
    cwd: folder,
    encoding: "utf8",
    env,
  });
  return { status, stdout, stderr };
}

/** One transparent pixel. */
const PIXEL = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAQAAAC1HAwCAAAAC0lEQVR42mNkYAAAAAYAAjCB0C8AAAAASUVORK5CYII=",
  "base64",
);

test("from the card to a proof: signed with the intake, printed, proved, checked, shown, and found when changed", () => {
  mkdirSync(join(folder, "card"));
  writeFileSync(join(folder, "card/DSC_0001.PNG"), PIXEL);
  const taken = samescale("take-in", "card", "--json");
  assert.equal(taken.status, 0, taken.stderr);
  const { summary } = JSON.parse(taken.stdout.trim().split("\n").at(-1) ?? "");
  assert.ok(summary.signedEntries > 3);
  assert.equal(summary.notSigned, null);

  const head = samescale("custody", "head");
  assert.match(head.stdout, new RegExp(`^samescale signed head 1\nsize ${summary.signedEntries}\n`));
  writeFileSync(join(folder, "signed-head.txt"), head.stdout);
  const whole = samescale("verify", "--signed-head", "signed-head.txt");
  assert.equal(whole.status, 0, whole.stdout);
  assert.match(whole.stdout, /1 signed heads/);

  const file = JSON.parse(taken.stdout.split("\n")[0] ?? "").sha256;
  const proved = samescale("custody", "prove", `file/${file}`, "--since", "2", "--to", "proofs");
  assert.equal(proved.status, 0, proved.stderr);
  assert.equal(statSync(join(folder, "proofs")).mode & 0o077, 0);
  const checked = samescale("custody", "check", "proofs", "--json");
  assert.equal(checked.status, 0, checked.stdout);
  const lines = checked.stdout
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line));
  assert.ok(lines.length >= 3 && lines.every(({ holds }) => holds));

  const shown = samescale("custody", "show", `file/${file}`);
  assert.match(shown.stdout, /: a camera file was kept, read back and compared \(file\//);

  const again = samescale("custody", "prove", "1", "--to", "proofs");
  assert.equal(again.status, 2, "nothing is written over");
  const [line] = lines.map(({ file: name }) => name).filter((name: string) => name.startsWith("entry-"));
  const path = join(folder, "proofs", line.replace(".json", ".line"));
  writeFileSync(path, readFileSync(path, "utf8").replace("photographer", "administrator"));
  const changed = samescale("custody", "check", "proofs");
  assert.equal(changed.status, 1);
  assert.match(changed.stdout, new RegExp(`^${line}: DOES NOT HOLD: the line is not entry`, "m"));
});

test("what is typed wrongly is answered in two lines", () => {
  const refused = (message: RegExp, ...args: readonly string[]) => {
    const { status, stderr } = samescale(...args);
    assert.equal(status, 2, stderr);
    assert.match(stderr, message);
    assert.equal(stderr.trim().split("\n").length, 2, stderr);
  };
  refused(/There is no signed head 99/, "custody", "head", "--size", "99");
  refused(/Expected one of --to FOLDER, --ask/, "custody", "stamp");
  refused(/The practice names no time-stamping authority/, "custody", "stamp", "--ask");
  refused(/--key: expected the SHA-256/, "custody", "check", "proofs", "--key", "x");
  writeFileSync(join(folder, "other.txt"), "size 17\n");
  refused(/other\.txt is not a signed head/, "verify", "--signed-head", "other.txt");
});
