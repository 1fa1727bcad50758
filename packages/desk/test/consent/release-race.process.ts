/** Releases the same pictures again and again, until a file says stop; then once more. One line for each try. */
import { existsSync } from "node:fs";
import { openDesk } from "../../src/desk.ts";
import { MARA } from "../made-up.ts";
import { theExit } from "./random-acts/world.ts";

const [library = "", released = "", stop = "", requestId = "", ...frames] = process.argv.slice(2);
const desk = await openDesk(library, { mode: "open" });
const wanted = { requestId, frames, scope: "requester", to: "Dr Example", purpose: "a race" } as const;
for (let isLast = false; ; ) {
  const outcome = await theExit({ desk, released, releases: [] }, MARA, wanted);
  process.stdout.write(`${JSON.stringify(outcome)}\n`);
  if (isLast) break;
  isLast = existsSync(stop);
}
await desk.close();
