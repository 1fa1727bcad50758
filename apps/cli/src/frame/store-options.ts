import type { Command } from "commander";
import { CommandFailure } from "./failure.ts";

/** How an S3-compatible store is reached; its key and secret are never typed on the command line. */
export interface StoreOptions {
  readonly endpoint?: string;
  readonly region?: string;
  readonly hostStyle?: true;
  readonly withoutChecksums?: true;
  readonly allowPlainHttp?: true;
}

export function storeOptions(command: Command): Command {
  return command
    .option("--endpoint <address>", "the store's own address: https://HOST:PORT")
    .option("--region <name>", "the store's region (default: us-east-1)")
    .option("--host-style", "the bucket is part of the store's host name")
    .option("--without-checksums", "for stores that refuse the header with the SHA-256")
    .option("--allow-plain-http", "pictures may cross the network unencrypted");
}

/** As `places.json` holds it. */
export function storeOf({ endpoint, region, ...flags }: StoreOptions) {
  return {
    ...(endpoint === undefined ? {} : { endpoint }),
    ...(region === undefined ? {} : { region }),
    ...(flags.hostStyle ? { pathStyle: false } : {}),
    ...(flags.withoutChecksums ? { sendChecksums: false } : {}),
    ...(flags.allowPlainHttp ? { allowPlainHttp: true } : {}),
  };
}

/** A backup place: a folder, or `s3://BUCKET/PREFIX` and how its store is reached. */
export function placeWanted(place: string, options: StoreOptions) {
  const { endpoint, ...store } = storeOf(options);
  if (!isInStore(place)) {
    if (endpoint === undefined && Object.keys(store).length === 0) return { place };
    throw CommandFailure.badArguments(
      `Options of a store were given, and the place ${place} is a folder`,
      "Leave them out, or name a place such as s3://clinical-backups/main.",
    );
  }
  if (endpoint !== undefined) return { place, store: { ...store, endpoint } };
  throw CommandFailure.badArguments(
    "A backup place in a store needs the store's address",
    "Name it, for example: --endpoint https://objects.hospital.example",
  );
}

export const isInStore = (place: string): boolean => place.startsWith("s3://");
