import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { parse } from "yaml";
import { editYaml, type YamlChange } from "../../src/read/edit-yaml.ts";

const STARTING = join(import.meta.dirname, "../../starting");
const file = (path: string) => readFileSync(join(STARTING, path), "utf8");

/** Lines of the one that the other does not have, in order. */
const lost = (text: string, other: string) =>
  text.split("\n").filter((line) => !other.split("\n").includes(line));

/** The slow way: change the values, and forget how they were written. */
function literally(text: string, changes: readonly YamlChange[]): unknown {
  const whole = parse(text);
  for (const { path, value } of changes) {
    let at = whole;
    for (const step of path.slice(0, -1)) at = at[step] ??= {};
    const last = path.at(-1)!;
    if (value !== null) at[last] = value;
    else if (Array.isArray(at)) at.splice(Number(last), 1);
    else delete at[last];
  }
  return whole;
}

const CASES: readonly (readonly [string, string, readonly YamlChange[], number])[] = [
  ["a value", "view-sets/wound.yaml", [{ path: ["views", 0, "ratio"], value: "1:12" }], 1],
  ["a value before a comment", "department.yaml", [{ path: ["circleOfConfusionMm"], value: 0.02 }], 1],
  ["a value in braces", "view-sets/newborn.yaml", [{ path: ["views", 0, "name"], value: "Front, whole" }], 1],
  ["a field more in braces", "view-sets/newborn.yaml", [{ path: ["views", 0, "ratio"], value: "1:15" }], 1],
  ["a field more", "view-sets/wound.yaml", [{ path: ["views", 2, "ratio"], value: "1:5" }], 0],
  ["a map and its field", "view-sets/wound.yaml", [{ path: ["views", 2, "from", "ratio"], value: "own" }], 0],
  ["a field less", "view-sets/wound.yaml", [{ path: ["views", 0, "scaleWhere"], value: null }], 1],
  ["a list", "view-sets/wound.yaml", [{ path: ["common", "landmarks"], value: ["a, b", "c: d"] }], 1],
  ["a list emptied", "view-sets/wound.yaml", [{ path: ["common", "cautions"], value: [] }], 1],
  [
    "a long text",
    "view-sets/wound.yaml",
    [{ path: ["common", "position"], value: "lie ".repeat(50).trim() }],
    1,
  ],
  ["a view more", "view-sets/wound.yaml", [{ path: ["views", 5], value: { key: "x", name: "y" } }], 0],
  ["a view less", "view-sets/wound.yaml", [{ path: ["views", 1], value: null }], 6],
  ["the last view less", "view-sets/wound.yaml", [{ path: ["views", 4], value: null }], 8],
  [
    "a wording",
    "department.yaml",
    [
      {
        path: ["consent", "wordings", 7],
        value: { scope: "teaching", version: "2026-06", text: "We ask. ".repeat(30).trim() },
      },
    ],
    0,
  ],
  [
    "a thing of the kit",
    "kit.yaml",
    [{ path: ["bodies", 2], value: { id: "b", name: "B", sensor: "36x24" } }],
    0,
  ],
  ["a thing less", "kit.yaml", [{ path: ["bodies", 0], value: null }], 1],
  ["a quotation", "department.yaml", [{ path: ["department"], value: "\"Photo\": of #1, 'x'" }], 1],
  ["what looks like a number", "department.yaml", [{ path: ["department"], value: "007" }], 1],
];

for (const [what, path, changes, most] of CASES) {
  test(`${what}: the value changes, and no other line of the file`, () => {
    const text = file(path);
    const changed = editYaml(text, changes);
    assert.deepEqual(parse(changed), literally(text, changes));
    const gone = lost(text, changed);
    assert.ok(gone.length <= most, `lost ${gone.length} lines: ${gone.join(" | ")}`);
  });
}

test("values all over the starting practice can be changed in place", () => {
  for (const path of ["view-sets/wound.yaml", "view-sets/newborn.yaml", "kit.yaml", "department.yaml"]) {
    const text = file(path);
    for (const at of scalarsOf(parse(text)).filter((_, i) => i % 7 === 0)) {
      const changes = [{ path: at, value: "changed: #1" }];
      const changed = editYaml(text, changes);
      assert.deepEqual(parse(changed), literally(text, changes), `${path} ${at.join(".")}`);
      const comments = (all: string) => all.match(/# .*$/gm)?.filter((one) => one !== '# 1"') ?? [];
      assert.ok(comments(changed).length >= comments(text).length, `${path} ${at.join(".")} lost a comment`);
      assert.ok(lost(text, changed).length <= 8, `${path} ${at.join(".")}: ${lost(text, changed).length}`);
    }
  }
});

test("nothing to change: not a character changes", () => {
  const text = file("view-sets/wound.yaml");
  assert.equal(
    editYaml(text, [
      { path: ["views", 0, "ratio"], value: "1:10" },
      { path: ["views", 0, "nothing"], value: null },
    ]),
    text,
  );
});

test("an alias in the way: the file is written anew and still says the same besides", () => {
  const text = "a: &x { b: 1 } # why\nc: *x\n";
  assert.deepEqual(parse(editYaml(text, [{ path: ["c"], value: 2 }])), { a: { b: 1 }, c: 2 });
});

function scalarsOf(value: unknown, at: (string | number)[] = []): (string | number)[][] {
  if (Array.isArray(value)) return value.flatMap((one, i) => scalarsOf(one, [...at, i]));
  if (typeof value === "object" && value !== null)
    return Object.entries(value).flatMap(([key, one]) => scalarsOf(one, [...at, key]));
  return [at];
}
