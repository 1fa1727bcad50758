import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

/** A file of the folder `shared` beside the repository, and why a test that needs it is skipped when it is absent. */
export function shared(name: string) {
  const path = fileURLToPath(new URL(`../../../../../shared/${name}`, import.meta.url));
  return {
    skip: existsSync(path) ? false : `there is no ../shared/${name}`,
    json: <T>(): T => JSON.parse(readFileSync(path, "utf8")) as T,
  };
}
