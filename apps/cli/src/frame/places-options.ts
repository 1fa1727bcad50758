import type { Command } from "commander";
import { CommandFailure } from "./failure.ts";
import { type StoreOptions, storeOf, storeOptions } from "./store-options.ts";

/** Where a library is kept that is not all in its folder (docs/department.md). */
export interface PlacesOptions extends StoreOptions {
  readonly tables?: string;
  readonly originals?: string;
  readonly cacheGb?: number;
}

export function placesOptions(command: Command): Command {
  const withPlaces = command
    .option("--tables <address>", "PostgreSQL: postgresql://USER@HOST/DATABASE, without the password")
    .option("--originals <address>", "S3-compatible store: s3://BUCKET/PREFIX");
  return storeOptions(withPlaces).option(
    "--cache-gb <n>",
    "bound of the copies that are kept on this machine (default: 20)",
    parseGb,
  );
}

/** What places.json shall say. */
export function placesOf({ tables, originals, cacheGb, ...store }: PlacesOptions): Record<string, unknown> {
  return {
    ...(tables === undefined ? {} : { tables }),
    ...(originals === undefined ? {} : { originals }),
    ...storeOf(store),
    ...(cacheGb === undefined ? {} : { cacheBytes: cacheGb * 1e9 }),
  };
}

function parseGb(text: string): number {
  const gb = Number(text);
  if (/^\d+(\.\d+)?$/.test(text) && gb <= 1e6) return gb;
  throw CommandFailure.badArguments(
    `--cache-gb: expected gigabytes, received "${text}"`,
    "Type a number such as 20.",
  );
}
