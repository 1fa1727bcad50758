import { existsSync, readFileSync } from "node:fs";
import { generated } from "./generated.ts";

let stale = 0;
for (const { path, make } of generated) {
  const same = existsSync(path) && readFileSync(path, "utf8") === (await make());
  if (!same) stale++;
  process.stdout.write(`${same ? "fresh" : "STALE"} ${path}${same ? "" : "  (run: npm run generate)"}\n`);
}
process.exitCode = stale > 0 ? 1 : 0;
