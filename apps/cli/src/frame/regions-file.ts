import { readFile } from "node:fs/promises";
import type { OutlineRegion } from "@samescale/picture";
import { CommandFailure } from "./failure.ts";
import { printable } from "./printable.ts";

/** Regions of a photograph from a JSON file, as for samescale measure --outline. */
export async function regionsFrom(option: string, file: string): Promise<readonly OutlineRegion[]> {
  const { regionsFromJson } = await import("@samescale/picture");
  let content: unknown;
  try {
    content = JSON.parse(await readFile(file, "utf8"));
  } catch (thrown) {
    if (!(thrown instanceof SyntaxError)) throw CommandFailure.from(thrown, file);
    throw CommandFailure.badArguments(
      `${option}: it is not JSON: ${printable(file)}`,
      "Give a file that holds {outline, holes}, or a list of such regions.",
    );
  }
  return regionsFromJson(content, file);
}
