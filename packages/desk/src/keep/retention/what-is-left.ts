import type { Tables } from "../../access/seeing.ts";

const NAMED = 5;

/** Where destroyed originals may still lie, outside of what the library itself can reach: what is left to do by hand. */
export async function whatIsLeft(tables: Tables, originals: readonly string[]): Promise<string[]> {
  return [
    ...(await atSecondPlaces(tables, originals)),
    ...(await inBackups(tables)),
    ...(await withOthers(tables, originals)),
  ];
}

async function atSecondPlaces(tables: Tables, originals: readonly string[]): Promise<string[]> {
  const places = new Map<string, string[]>();
  for (const sha256 of originals) {
    const copies = await tables.selectFrom("copy").select("place").where("sha256", "=", sha256).execute();
    for (const { place } of copies) places.set(place, [...(places.get(place) ?? []), sha256]);
  }
  return [...places].map(([place, files]) => {
    const names = files
      .slice(0, NAMED)
      .map((sha256) => `originals/${sha256.slice(0, 2)}/${sha256.slice(2, 4)}/${sha256}`);
    const more = files.length > NAMED ? ` and ${files.length - NAMED} more, listed in the log` : "";
    return `At the second place ${place}: delete ${names.join(", ")}${more}`;
  });
}

/** The subjects of backups lie together in the index of the log. */
async function inBackups(tables: Tables): Promise<string[]> {
  const rows = await tables
    .selectFrom("act")
    .select(["details", "time"])
    .where("subject", ">=", "backup/")
    .where("subject", "<", "backup0")
    .where("act", "=", "backup.make")
    .orderBy("sequence")
    .execute();
  const newest = new Map<string, string>();
  for (const { details, time } of rows) {
    newest.set((JSON.parse(details) as { place: string }).place, time.slice(0, 10));
  }
  return [...newest].map(
    ([place, day]) =>
      `Backups at ${place} up to ${day} hold it: make a new backup at a new place, prove it, then destroy the old place`,
  );
}

async function withOthers(tables: Tables, originals: readonly string[]): Promise<string[]> {
  const recipients = new Set<string>();
  for (let at = 0; at < originals.length; at += 500) {
    const rows = await tables
      .selectFrom("release_item")
      .innerJoin("release", "release.id", "release_item.release_id")
      .select(["release.recipient", "release.made_at"])
      .where("release_item.original", "in", originals.slice(at, at + 500))
      .execute();
    for (const { recipient, made_at } of rows) recipients.add(`${recipient} on ${made_at.slice(0, 10)}`);
  }
  return recipients.size === 0 ? [] : [`It went out to ${[...recipients].join(", ")}: ask them`];
}
