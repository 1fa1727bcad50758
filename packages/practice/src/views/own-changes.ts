import type { YamlChange } from "../read/edit-yaml.ts";
import { readYaml } from "../read/yaml-file.ts";

/** What only names a view or says where its values come from. */
const WITHOUT_ORIGIN = new Set(["key", "name", "from"]);

/**
 * Changes of a view set as a department makes them: each value that it sets itself is marked as its own from then on,
 * and the set gets its next version. The changes that a file needs for that, in their order.
 */
export function ownChanges(text: string, changes: readonly YamlChange[]): YamlChange[] {
  const set = readYaml(text) as { version?: unknown; views?: unknown } | null;
  const version = typeof set?.version === "number" ? set.version : 0;
  const marks = changes.flatMap(({ path, value }): YamlChange[] => {
    const field = path.at(-1);
    const isOfView = path[0] === "views" ? path.length === 3 : path[0] === "common" && path.length === 2;
    if (!isOfView || typeof field !== "string" || WITHOUT_ORIGIN.has(field)) return [];
    return [{ path: [...path.slice(0, -1), "from", field], value: value === null ? null : "own" }];
  });
  return [...changes, ...marks, { path: ["version"], value: version + 1 }];
}

/**
 * The text of a new set that begins as a copy of another: its own key and name, version 1. What its values rest on
 * stays as it was.
 */
export function copyChanges(key: string, name: string): YamlChange[] {
  return [
    { path: ["key"], value: key },
    { path: ["name"], value: name },
    { path: ["version"], value: 1 },
  ];
}
