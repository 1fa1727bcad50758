/** Run and killed by a test: releases the frames of a job again and again, one folder each; a line for each that is out. */
// Past the index: a run starts faster with only what it needs.
import { openDesk } from "../../src/desk.ts";
import { picturesForm } from "../../src/release/forms/pictures.ts";
import { releaseOut } from "../../src/release/release-out.ts";
import { MARA } from "../made-up.ts";
import { inThisThread } from "./in-this-thread.ts";

const [library = "", releasedFolder = "", requestId = "", framesText = "", times = "1"] =
  process.argv.slice(2);
const desk = await openDesk(library, { mode: "open" });
process.stdout.write("begun\n");
for (let i = 0; i < Number(times); i++) {
  const wanted = {
    requestId,
    frames: framesText.split(","),
    scope: "requester",
    to: "Dr Example",
    purpose: "a test",
  } as const;
  const outcome = await releaseOut(desk, MARA, wanted, {
    pool: inThisThread,
    form: picturesForm,
    releasedFolder,
  });
  process.stdout.write(`${outcome.done ? `out ${outcome.value.folder}` : `refused ${outcome.reason}`}\n`);
}
await desk.close();
