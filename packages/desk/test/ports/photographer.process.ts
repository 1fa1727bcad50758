/** Run beside others by a test: `photographer.process.ts LIBRARY NAME CARD…`: takes cards in, one line per file. */
import { openDesk } from "../../src/desk.ts";
import { takeIn } from "../../src/intake/take-in.ts";
import { madeUpPictures, NOON } from "../made-up.ts";

const [folder = "", name = "", ...cards] = process.argv.slice(2);
const desk = await openDesk(folder, { clock: () => NOON });
const actor = { name, role: "photographer" } as const;
process.stdout.write("begun\n");
for await (const line of takeIn({ desk, actor, cards, pictures: madeUpPictures })) {
  process.stdout.write(`${JSON.stringify(line)}\n`);
}
await desk.close();
