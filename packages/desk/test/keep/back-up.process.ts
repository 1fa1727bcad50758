/** Run and killed by a test: backs a library up to a folder. */
// Past the index: a run starts faster with only what it needs.
import { openDesk } from "../../src/desk.ts";
import { backUp } from "../../src/keep/backup.ts";
import { MARA, NOON } from "../made-up.ts";

const [library = "", place = "", key = ""] = process.argv.slice(2);
// The day after the backup that the test made: the newer one, whatever day it is.
const clock = () => new Date(NOON.getTime() + 86_400_000);
const desk = await openDesk(library, { mode: "open", clock });
const secret = { from: "key-file", bytes: Buffer.from(key) } as const;
// A line for each step, at which the test may kill.
await backUp(desk, MARA, { place, secret, onProgress: () => process.stdout.write(".\n") });
await desk.close();
