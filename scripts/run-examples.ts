import { spawnSync } from "node:child_process";
import { globSync } from "node:fs";

/** Runs every lesson in `examples/`: each must end well and print something. */
let failed = 0;
for (const file of globSync("examples/*.ts").sort()) {
  const result = spawnSync(process.execPath, ["--disable-warning=ExperimentalWarning", file], {
    encoding: "utf8",
  });
  const good = result.status === 0 && result.stdout.trim() !== "";
  process.stdout.write(`${good ? "ran   " : "FAILED"} ${file}\n`);
  if (!good) {
    failed++;
    process.stdout.write(`${result.stdout}${result.stderr}\n`);
  }
}
process.exitCode = failed > 0 ? 1 : 0;
