import { editYaml } from "../read/edit-yaml.ts";
import { readYaml } from "../read/yaml-file.ts";
import { type KitGroup, kitGroups } from "./item.ts";

/** A thing as it is written into the register: its group's fields, of which the result is checked as a whole. */
export type ItemFields = Readonly<Record<string, unknown>>;

type Register = Partial<Record<KitGroup, readonly { readonly id?: unknown }[]>>;

/** The register's text with one more thing at the end of its group. Not checked: read it as a practice. */
export function addItem(text: string, group: KitGroup, fields: ItemFields): string {
  const there = registerOf(text)[group]?.length ?? 0;
  if (there === 0) return editYaml(text, [{ path: [group], value: [fields] }]);
  return editYaml(text, [{ path: [group, there], value: fields }]);
}

/** The register's text without a thing; null: nothing has that id. */
export function removeItem(text: string, id: string): string | null {
  const register = registerOf(text);
  for (const group of Object.keys(kitGroups) as KitGroup[]) {
    const items = register[group] ?? [];
    const at = items.findIndex((one) => one.id === id);
    if (at < 0) continue;
    if (items.length === 1) return editYaml(text, [{ path: [group], value: [] }]);
    return editYaml(text, [{ path: [group, at], value: null }]);
  }
  return null;
}

/** An id that nothing of the register has, from what the thing is called: `100-mm-macro`, `100-mm-macro-2`. */
export function freeItemId(text: string, name: string): string {
  const known = new Set(
    Object.values(registerOf(text)).flatMap((items) =>
      Array.isArray(items) ? items.map(({ id }) => id) : [],
    ),
  );
  const plain = name
    .normalize("NFD")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 32);
  const stem = plain === "" ? "thing" : plain;
  for (let n = 1; ; n++) {
    const id = n === 1 ? stem : `${stem}-${n}`;
    if (!known.has(id)) return id;
  }
}

const registerOf = (text: string): Register => (readYaml(text) ?? {}) as Register;
