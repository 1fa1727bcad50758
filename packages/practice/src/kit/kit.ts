import { z } from "zod";
import type { YamlFile } from "../read/yaml-file.ts";
import { type KitGroup, type KitItem, kitGroups } from "./item.ts";

const groups = Object.fromEntries(
  Object.entries(kitGroups).map(([group, schema]) => [group, z.array(schema).max(500).default([])]),
) as unknown as { readonly [G in KitGroup]: z.ZodDefault<z.ZodArray<(typeof kitGroups)[G]>> };

const kitSchema = z.strictObject({ version: z.number().int().min(1), ...groups });

/** The department's register of what it photographs with. */
export type Kit = z.output<typeof kitSchema>;

export const NO_KIT: Kit = kitSchema.parse({ version: 1 });

/** The register from its file; null after its faults were told. */
export function kitOf(file: YamlFile): Kit | null {
  const kit = file.check(kitSchema);
  if (kit === null) return null;
  const ids = new Map<string, string>();
  let sound = true;
  for (const { group, index, item } of itemsOf(kit)) {
    const before = ids.get(item.id);
    if (before !== undefined) {
      file.fault([group, index, "id"], `${item.id} is there twice, also under ${before}`);
      sound = false;
    }
    ids.set(item.id, group);
  }
  kit.batteries.forEach(({ fits }, index) => {
    const unknown = fits.find((id) => !ids.has(id));
    if (unknown === undefined) return;
    file.fault(["batteries", index, "fits"], `nothing in the register is named ${unknown}`);
    sound = false;
  });
  return sound ? kit : null;
}

export interface PlacedItem {
  readonly group: KitGroup;
  readonly index: number;
  readonly item: KitItem;
}

/** Every thing of the register, in the order in which a bag is packed. */
export function itemsOf(kit: Kit): PlacedItem[] {
  return (Object.keys(kitGroups) as KitGroup[]).flatMap((group) =>
    kit[group].map((item, index) => ({ group, index, item })),
  );
}
