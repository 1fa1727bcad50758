import { doneOrThrow, find, takeBackFrames, trashFrames, undoTrash } from "@samescale/desk";
import type { Command } from "commander";
import { type JsonOption, libraryOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { thisPerson } from "../frame/this-person.ts";
import { say, withDesk } from "../frame/with-desk.ts";

interface Options extends JsonOption {
  readonly library: string;
  readonly because: string;
}

/** `samescale trash`: frames put aside and taken back; nothing is ever removed by it (docs/keep.md). */
export function configure(command: Command): void {
  const about = (name: string, says: string) => libraryOption(command.command(name).description(says));
  about("put", "put frames aside: no list shows them, none of them leaves")
    .argument("<frame...>", "ids, as `samescale find` shows them")
    .requiredOption("--because <reason>", "why")
    .action(async (frameIds: string[], { library, because }: Options) => {
      await withDesk(library, async (desk) => {
        const { frames } = doneOrThrow(
          await trashFrames(desk, await thisPerson(desk), { frameIds, because }),
        );
        say(`${frames} put aside. Take back: samescale trash undo.`);
      });
    });
  about("back", "take frames back")
    .argument("<frame...>", "ids, as `samescale trash list` shows them")
    .requiredOption("--because <reason>", "why")
    .action(async (frameIds: string[], { library, because }: Options) => {
      await withDesk(library, async (desk) => {
        const { frames } = doneOrThrow(
          await takeBackFrames(desk, await thisPerson(desk), { frameIds, because }),
        );
        say(`${frames} taken back.`);
      });
    });
  about("undo", "undo your own last `put` or `back`").action(async ({ library }: Options) => {
    await withDesk(library, async (desk) => {
      const { act, frames } = doneOrThrow(await undoTrash(desk, await thisPerson(desk)));
      say(`Undone: ${frames} ${act === "frame.trash" ? "taken back" : "put aside again"}.`);
    });
  });
  about("list", "what was put aside, newest first")
    .option("--json", "one JSON object per frame")
    .action(async ({ library, json }: Options) => {
      await withDesk(library, async (desk) => {
        const wanted = { text: "", facets: {}, from: null, until: null, limit: 500 };
        const actor = await thisPerson(desk);
        for (let after: string | null = null; ; ) {
          const page = await find(desk, actor, { kind: "trash", ...wanted, after });
          for (const row of page.rows) {
            const whose = row.request === null ? "unplaced" : row.request.code;
            say(
              json
                ? JSON.stringify(row)
                : printable(`${row.at ?? "no time"}  ${row.name}  ${whose}  [${row.id}]`),
            );
          }
          if (page.next === null) return;
          after = page.next;
        }
      });
    });
}
