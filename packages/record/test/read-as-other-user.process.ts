/** Run by a test as a user who owns nothing: `read-as-other-user.process.ts LIBRARY MODE`. */
import { entriesOf, openLibrary } from "../src/index.ts";
import { all } from "./support.ts";

const [folder = "", mode] = process.argv.slice(2);
let said = "it can";
if (folder !== "can-it-run") {
  try {
    const library = await openLibrary(folder, { mode: mode as "read" | "open" });
    said = `${(await all(entriesOf(library.read))).length} entries`;
    await library.close();
  } catch (thrown) {
    said = String((thrown as { code?: unknown }).code);
  }
}
process.stdout.write(`${said}\n`);
