import assert from "node:assert/strict";
import { test } from "node:test";
import { readPractice } from "../../src/read/practice.ts";
import { otherTexts, viewSetTexts } from "./starting-practice.ts";

const PATH = "view-sets/wound.yaml";
const wound = viewSetTexts.find(({ path }) => path === PATH)!.text;

const faultsOf = (text: string): readonly string[] =>
  readPractice([...otherTexts, { path: PATH, text }]).faults;

/** The wound's file with one thing changed, and where that stands. */
function changed(from: string, to: string): { text: string; line: number } {
  const at = wound.indexOf(from);
  assert.ok(at >= 0, `the file has no ${from}`);
  return { text: wound.replace(from, () => to), line: wound.slice(0, at).split("\n").length };
}

test("a file that a person wrote with another system's line ends or a byte order mark is read", () => {
  assert.deepEqual(faultsOf(wound), []);
  assert.deepEqual(faultsOf(wound.replaceAll("\n", "\r\n")), []);
  assert.deepEqual(faultsOf(`\uFEFF${wound}`), []);
});

const CHOSEN = wound.match(/(?<=chosen: ){.*}/)![0];

/** What is changed, into what, the field that has to be named, what has to be said. */
const WRONG: readonly (readonly [from: string, to: string, field: string, says: RegExp])[] = [
  ["ratio: 1:4", "ratio: 1:0", "common.ratio", /such as 1:10/],
  ["ratio: 1:4", "ratio: -1:4", "common.ratio", /such as 1:10/],
  ["ratio: 1:4", "ratio: 10", "common.ratio", /Type 1:10 for smaller than life size, or 10:1 for larger/],
  ["ratio: 1:4", "ratio: [1, 4]", "common.ratio", /text such as 1:10/],
  ["ratio: 1:4", "ratio: '10'", "common.ratio", /such as 1:10/],
  ["ratio: 1:4", "ratio: 1:1000", "common.ratio", /1:200 to 5:1/],
  ["ratio: 1:4", "ratio: .nan", "common.ratio", /text such as 1:10/],
  ["side: either", "side: middle", "common.side", /left/],
  ["minutes: 1.5", "minutes: '1.5'", "common.minutes", /number/],
  ["minutes: 1.5", "minutes: .inf", "common.minutes", /number/],
  ["identifiable: false", "identifiable: yes", "common.identifiable", /true or false/],
  ["landmarks: [wound in the middle", "landmarks: [1, wound in the middle", "common.landmarks[1]", /text/],
  ["cautions: [infection, dignity]", "cautions: [danger]", "common.cautions[1]", /infection/],
  ["  part: wound\n", "  part: wound\n  colour: red\n", "common.colour", /is not known here/],
  ["version: 1", "version: 0", "version", /must be 1 or more/],
  ["version: 1", "version: one", "version", /number/],
  ["purpose: series", "purpose: art", "purpose", /record/],
  ["name: Location", 'name: "Loca\\u0007tion"', "views[2].name", /control characters/],
  ["name: Location", 'name: "Loca\\ntion"', "views[2].name", /control characters/],
  ["name: Location", "name: Loca\u202etion", "views[2].name", /control characters/],
  ["name: Location", `name: ${"x".repeat(81)}`, "views[2].name", /80/],
  ["key: location", "key: ../location", "views[2].key", /small letters/],
  ["key: mid", "key: location", "views[3].key", /two views are named location/],
  ["figure: region-wound", "figure: elephant", "views[1].figure", /no figure has this name/],
  ["ratio: practice", "ratio: hearsay", "common.from.ratio", /no origin is named hearsay/],
  ["ratio: practice", "ratio: constructor", "common.from.ratio", /no origin is named constructor/],
  [CHOSEN, "{ mark: published }", "origins.chosen.source", /names its source/],
  [CHOSEN, "{ mark: certain }", "origins.chosen.mark", /published/],
  ["pairOf: close-up\n", "pairOf: nowhere\n", "views[4].pairOf", /no view is named nowhere/],
  ["pairOf: close-up-plain", "pairOf: close-up", "views[5].pairOf", /not its own pair/],
  ["depthMm: 20", "depthMm: 20\n  fNumber: 8", "common.depthMm", /leave one out/],
  ["  depthMm: 20\n  reliefMm", "  reliefMm", "views[2].fNumber", /f-number, or the depth/],
  ["scaleWhere: beside the limb, along it", "scaleWhere: ''", "views[1].scaleWhere", /needs its place/],
  ["light: two-sides", "light: moon", "views[1].light", /no light set-up moon/],
];

for (const [from, to, field, says] of WRONG) {
  test(`${to.slice(0, 40).trim().replaceAll("\n", " ")}: refused, naming file, line and field`, () => {
    const { text } = changed(from, to);
    const faults = faultsOf(text);
    const named = faults.find((fault) =>
      new RegExp(`^view-sets/wound\\.yaml, line \\d+, ${escaped(field)}`).test(fault),
    );
    assert.ok(named, `expected ${field} to be named, got ${faults.join("; ")}`);
    assert.match(named, says);
  });
}

const escaped = (text: string): string => text.replaceAll(/[.[\]]/g, String.raw`\$&`);

test("the line that is named is the one where the field stands", () => {
  const { text, line } = changed("  ratio: 1:4\n", "  ratio: 4\n");
  assert.match(faultsOf(text)[0]!, new RegExp(`line ${line}, common\\.ratio`));
  const view = changed("    key: mid".trimStart(), "key: Mid");
  assert.match(faultsOf(view.text)[0]!, new RegExp(`line ${view.line}, views\\[3\\]\\.key`));
});

test("a pair is one with and one without a scale, at the same ratio", () => {
  const without = wound.replace(/ {4}scale: L\n {4}scaleWhere: .*\n {4}scalePlane: .*\n/, "");
  assert.ok(faultsOf(without).some((fault) => /one has to be with and one without a scale/.test(fault)));
  const other = changed("pairOf: close-up\n", "pairOf: close-up\n    ratio: 1:5\n").text;
  assert.ok(faultsOf(other).some((fault) => /pairOf: close-up.* is at another ratio/.test(fault)));
});

test("natural head position and the Frankfort horizontal are not mixed in one set", () => {
  const mixed = wound
    .replace("referenceLine: none", "referenceLine: frankfort-horizontal")
    .replace("key: mid", "key: mid\n    referenceLine: natural-head-position");
  assert.match(
    faultsOf(mixed)[0]!,
    /line \d+, views\[3\]\.referenceLine: natural head position and the Frankfort/,
  );
});

/** Files that hold no view set at all; each has to be answered quickly and by name. */
const NOT_A_SET: readonly (readonly [what: string, text: string, says: RegExp])[] = [
  ["an empty file", "", /the file is empty/],
  ["a file of comments", "# nothing\n", /the file is empty/],
  ["a null", "~\n", /must be a group of fields/],
  ["a list", "- a\n- b\n", /must be a group of fields/],
  ["a word", "hello", /must be a group of fields/],
  [
    "a set without views",
    `${wound.slice(0, wound.indexOf("views:"))}views: []\n`,
    /views: a view set has at least one/,
  ],
  ["a set whose views are missing", wound.slice(0, wound.indexOf("views:")), /views: is missing$/],
  ["an empty view", `${wound.slice(0, wound.indexOf("views:"))}views: [~]\n`, /views\[1\]/],
  ["tabs as indentation", changed("  part: wound", "\tpart: wound").text, /line 11: Tabs are not allowed/],
  [
    "a key twice",
    changed("  part: wound\n", "  part: wound\n  part: arm\n").text,
    /line \d+: Map keys must be unique/,
  ],
  ["two documents", `${wound}---\nkey: x\n`, /multiple documents/],
  ["an older YAML, which reads 1:4 as 64", `%YAML 1.1\n---\n${wound}`, /Type 1:64 for smaller/],
  ["a tag that nobody knows", changed("key: wound", "key: !thing wound").text, /line 2: Unresolved tag/],
  ["a tag that asks for code", changed("key: wound", "key: !!js/function x").text, /line 2: Unresolved tag/],
  [
    "more views than a visit has",
    wound + "  - { key: a, name: A, aspect: a }\n".repeat(100),
    /views: must have/,
  ],
  ["a million characters", "#".repeat(1_000_001), /at most 1000000 characters/],
  ["brackets without end", `views: ${"[".repeat(2000)}`, /at most 60 brackets/],
  ["an alias that holds itself", "views: &a [*a]\n", /must be/],
  [
    "aliases that would grow to billions",
    `a0: &a0 [x,x,x,x,x,x,x,x,x]\n${Array.from({ length: 12 }, (_, i) => `a${i + 1}: &a${i + 1} [${Array(9).fill(`*a${i}`).join(",")}]`).join("\n")}\n`,
    /must be a group of fields/,
  ],
];

for (const [what, text, says] of NOT_A_SET) {
  test(`${what}: refused by name`, () => {
    const faults = faultsOf(text);
    assert.ok(faults.length > 0, "it was taken");
    for (const fault of faults) assert.match(fault, /^view-sets\/wound\.yaml[,:]/);
    assert.ok(
      faults.some((fault) => says.test(fault)),
      faults.slice(0, 3).join("; "),
    );
  });
}

test("a key that reaches for an object's inside changes nothing outside the file", () => {
  faultsOf(changed("  part: wound\n", "  part: wound\n  __proto__: { polluted: true }\n").text);
  assert.equal(({} as { polluted?: boolean }).polluted, undefined);
});
