import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { openDesk } from "@samescale/desk";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-request-"));
after(() => rmSync(folder, { recursive: true }));
before(async () => (await openDesk(join(folder, "library"))).close());

const run = (args: readonly string[], input = "") => {
  const all = ["--disable-warning=ExperimentalWarning", MAIN, "request", ...args, "--library", "library"];
  return spawnSync(process.execPath, all, { encoding: "utf8", cwd: folder, input });
};

test("filled in by hand, shown, changed, cancelled", () => {
  const patient = [
    "--patient",
    "HN10001",
    "--authority",
    "Invented",
    "--name",
    "Ada Example",
    "--born",
    "1958-04-02",
  ];
  const details = JSON.stringify({
    cautions: [{ kind: "latex" }],
    parts: [{ part: "lower leg", side: "left", marks: [{ chart: "back", x: 0.4, y: 0.82 }] }],
  });
  const added = run(
    ["add", ...patient, "--purpose", "ulcer", "--due", "2026-03-20", "--details", "-", "--json"],
    details,
  );
  assert.equal(added.status, 0, added.stderr);
  const { code } = JSON.parse(added.stdout) as { code: string };
  const again = run(["add", "--patient", "HN10001", "--part", "right.foot", "--purpose", "compare"]);
  assert.equal(again.status, 0, again.stderr);
  assert.equal(
    run(["list"]).stdout.split("\n")[0],
    `${code}  2026-03-20  Ada Example (HN10001): left lower leg: ulcer`,
  );
  const shown = run(["show", code]).stdout;
  for (const line of [
    "patient: Ada Example, born 1958-04-02, HN10001 of Invented",
    "marked: left lower leg, from the back",
    "cautions: latex",
  ]) {
    assert.ok(shown.split("\n").includes(line), shown);
  }
  assert.equal(
    run(["change", code, "--priority", "stat", "--details", "-"], '{"place": "Ward 7"}').status,
    0,
  );
  assert.match(run(["list"]).stdout, new RegExp(`^${code}  2026-03-20 STAT  Ada`, "m"));
  assert.equal(run(["cancel", code, "--because", "went home"]).status, 0);
  assert.doesNotMatch(run(["list"]).stdout, new RegExp(code));
});

test("what is missing or wrong is said with what to do, and nothing is written", () => {
  const unknown = run(["add", "--patient", "HN77777"]);
  assert.equal(unknown.status, 2);
  assert.match(unknown.stderr, /no patient HN77777\n.*--authority, --name/);
  const wrong = run(["add", "--details", "-"], '{"wrad": "7"}');
  assert.equal(wrong.status, 1);
  assert.match(wrong.stderr, /wrad: /);
  assert.equal(run(["add", "--details", "-"], "[]").status, 2);
  assert.match(run(["show", "R-NONE"]).stderr, /no request "R-NONE".*\[REQUEST_UNKNOWN\]/s);
  assert.equal(run(["list", "--state", "lost"]).status, 2);
});

test("orders of a file, one line each; a file that cannot be read ends with 1 and the others are taken", () => {
  const order =
    "MSH|^~\\&|W|F|||20260314||ORM^O01|1|P|2.5.1\rPID|1||HN3^^^F||Novak^Jana\rORC|NW|PL-1^W\rOBR|1|PL-1^W||X^Wound";
  writeFileSync(join(folder, "good.hl7"), order);
  writeFileSync(join(folder, "bad.hl7"), "hello");
  const taken = run(["orders", "bad.hl7", "good.hl7", "--json"]);
  assert.equal(taken.status, 1);
  const lines = taken.stdout
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line));
  assert.equal(lines[0].error.code, "ORDER_FILE_UNREADABLE");
  assert.deepEqual([lines[1].order, lines[1].state, lines[1].patient], ["PL-1", "added", "new"]);
  const again = run(["orders", "good.hl7"]);
  assert.equal(again.status, 0);
  assert.match(again.stdout, /order PL-1 is known, nothing new in request R-/);
});
