import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { globSync } from "node:fs";
import { join, resolve } from "node:path";
import { test } from "node:test";

/** A list of exclusions that is inherited can leave a check of types with nothing to check. */
test("every TypeScript file of packages and applications is in one of the two checks of types", () => {
  const covered = ["tsconfig.json", "apps/web/tsconfig.json"].flatMap((project) =>
    spawnSync(join("node_modules", ".bin", "tsc"), ["-p", project, "--listFilesOnly"], { encoding: "utf8" })
      .stdout.split("\n")
      .map((file) => resolve(file)),
  );
  const all = globSync("{packages,apps}/*/{src,test}/**/*.{ts,tsx}").map((file) => resolve(file));
  const left = new Set(covered);
  assert.deepEqual(
    all.filter((file) => !left.has(file)),
    [],
  );
});
