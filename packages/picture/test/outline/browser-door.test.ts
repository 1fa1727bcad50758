import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { isBuiltin } from "node:module";
import { dirname, join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";

/** Type imports vanish before anything runs; all others are followed, into libraries too. */
const IMPORTS =
  /^(?:import|export)\s+(?!type\b)(?:[^"';]*?\bfrom\s*)?["']([^"']+)["']|\b(?:import|require)\(\s*["']([^"']+)["']\s*\)/gm;
const COMMENTS = /\/\*[\s\S]*?\*\/|^\s*\/\/.*$/gm;

/** Every file behind an import, with its text, and every module of Node's own that one of them asks for. */
function behind(door: string): { readonly files: ReadonlyMap<string, string>; readonly builtins: string[] } {
  const files = new Map<string, string>();
  const builtins: string[] = [];
  const visit = (file: string) => {
    if (files.has(file)) return;
    const text = readFileSync(file, "utf8").replace(COMMENTS, "");
    files.set(file, text);
    for (const [, fromed, called] of text.matchAll(IMPORTS)) {
      const target = (fromed ?? called)!;
      if (isBuiltin(target)) builtins.push(`${target} in ${file}`);
      else if (target.startsWith(".")) visit(join(dirname(file), target));
      else visit(fileURLToPath(import.meta.resolve(target)));
    }
  };
  visit(fileURLToPath(import.meta.resolve(door)));
  return { files, builtins };
}

const DOORS = [
  ["@samescale/picture/outline", ["max-flow.ts", "ml-matrix"]],
  ["@samescale/picture/planimetry", ["lean-effect.ts", "limb.ts"]],
] as const;

for (const [door, within] of DOORS)
  test(`nothing behind ${door} needs Node, a native library or WebAssembly`, () => {
    const { files, builtins } = behind(door);
    assert.deepEqual(builtins, []);
    const names = [...files.keys()];
    for (const name of within)
      assert.ok(
        names.some((n) => n.includes(name)),
        name,
      );
    for (const [file, text] of files) {
      assert.doesNotMatch(file, /\.(node|wasm)$/);
      assert.doesNotMatch(text, /\bWebAssembly\b|\.wasm\b|\bnode:/, file);
    }
  });

test("the walk sees what only Node has, where there is some", () => {
  assert.ok(behind("./browser-door.test.ts").builtins.length > 0);
});
