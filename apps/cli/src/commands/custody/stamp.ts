import { readFile } from "node:fs/promises";
import {
  askAuthority,
  askForTimeStamp,
  type Desk,
  keepTimeStamp,
  signatures,
  signedHeadFile,
} from "@samescale/desk";
import { CommandFailure } from "../../frame/failure.ts";
import { practiceInUse } from "../../frame/practice-in-use.ts";
import { thisPerson } from "../../frame/this-person.ts";
import { say, writeNewFolder } from "./new-folder.ts";

interface Options {
  readonly json?: true;
  readonly library: string;
  readonly practice?: string;
  readonly to?: string;
  readonly ask?: true;
  readonly query?: string;
  readonly reply?: string;
}

/** Writes a query, asks the practice's authority, or takes a reply in: one of the three. */
export async function stamp(desk: Desk, options: Options): Promise<void> {
  const { to, ask, query, reply } = options;
  if (to !== undefined && !ask && reply === undefined) return writeQuery(desk, to, options);
  if (ask && to === undefined && reply === undefined) return askNow(desk, options);
  if (query !== undefined && reply !== undefined && to === undefined && !ask) {
    return takeIn(desk, await read(query), await read(reply), options);
  }
  throw CommandFailure.badArguments(
    "Expected one of --to FOLDER, --ask, or --query FILE with --reply FILE",
    "Write a query first: samescale custody stamp --to FOLDER.",
  );
}

async function writeQuery(desk: Desk, to: string, { json }: Options): Promise<void> {
  const { head, query } = await askForTimeStamp(desk);
  const key = (await signatures(desk)).keys.find(({ id }) => id === head.keyId);
  await writeNewFolder(to, [
    { name: "signed-head.txt", content: signedHeadFile(head, key?.pem ?? "") },
    { name: "query.tsq", content: query },
  ]);
  const human =
    `The query for a time stamp over ${head.size} entries lies in ${to}/query.tsq.\n` +
    "Send it to an authority; take its reply in with samescale custody stamp --query … --reply …";
  say(json, { to, size: head.size }, human);
}

async function askNow(desk: Desk, options: Options): Promise<void> {
  const { practice } = await practiceInUse(options);
  const authority = practice.timeStamp;
  if (authority === undefined) {
    throw CommandFailure.badArguments(
      "The practice names no time-stamping authority",
      "Write timeStamp: { url: … } into department.yaml, or write a query to a file with --to.",
    );
  }
  const { query } = await askForTimeStamp(desk);
  await takeIn(desk, query, await askAuthority(authority.url, query), options);
}

async function takeIn(desk: Desk, query: Uint8Array, reply: Uint8Array, { json }: Options): Promise<void> {
  const kept = await keepTimeStamp(desk, await thisPerson(desk), { query, reply });
  const by = kept.authority === null ? "an authority whose certificate is not in it" : kept.authority;
  const human =
    `Kept: the signed head over ${kept.size} entries was there on ${kept.time}, says ${by}.\n` +
    "Whether that authority deserves trust: openssl ts -verify (docs/custody.md).";
  say(json, kept, human);
}

const MOST_BYTES = 1_000_000;

async function read(file: string): Promise<Uint8Array> {
  const bytes = await readFile(file).catch((thrown) => {
    throw CommandFailure.from(thrown, file);
  });
  if (bytes.length <= MOST_BYTES) return bytes;
  throw CommandFailure.badArguments(`${file} is too long`, "Name the query (.tsq) and the reply (.tsr).");
}
