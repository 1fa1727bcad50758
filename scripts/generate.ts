import { writeFileSync } from "node:fs";
import { generated } from "./generated.ts";

for (const { path, make } of generated) {
  writeFileSync(path, await make());
  process.stdout.write(`wrote ${path}\n`);
}
