import { randomBytes } from "node:crypto";
import { SamescaleError } from "@samescale/errors";
import {
  LONGEST_REPLY_BYTES,
  nonceOf,
  readTimeStamp,
  type SignedHead,
  signedHeadsOf,
  signedHeadText,
  type TimeStamped,
  timeStampQuery,
} from "@samescale/record";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import { doneOrThrow } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";

/** Signs the present head and asks for a time stamp over it: the query is a `.tsq` file for any authority. */
export async function askForTimeStamp(desk: Desk): Promise<{ head: SignedHead; query: Uint8Array }> {
  const head = await desk.library.signHead();
  const query = await timeStampQuery(Buffer.from(signedHeadText(head)), randomBytes(8));
  return { head, query };
}

interface Reply {
  readonly size: number;
  readonly reply: Uint8Array;
  readonly stamped: TimeStamped;
}

const storeTimeStamp = defineAct<Reply, { readonly id: string }>({
  name: "time-stamp.keep",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ size, reply, stamped }, { writing, now, newId }) {
    const id = newId();
    const base64 = Buffer.from(reply).toString("base64");
    await writing.insert("time_stamp", { id, size, reply: base64, made_at: now });
    const details = { size, ...stamped };
    return { value: { id }, deed: { act: "time-stamp.keep", subject: `time_stamp/${id}`, details } };
  },
});

/**
 * Keeps the reply to a query, after checking that it was granted, is about a signed head of this library, and answers
 * this query.
 *
 * @throws SamescaleError TIME_STAMP_REFUSED, ACT_REFUSED
 */
export async function keepTimeStamp(
  desk: Desk,
  actor: Actor,
  { query, reply }: { readonly query: Uint8Array; readonly reply: Uint8Array },
): Promise<TimeStamped & { readonly size: number }> {
  const nonce = await nonceOf(query);
  if (!nonce) throw refused("the query is not one that Samescale wrote");
  let fault: unknown = refused("the library has no signed head");
  // The newest head is the likeliest; only the imprint says which one it is.
  for (const head of (await signedHeadsOf(desk.library.read)).reverse()) {
    try {
      const stamped = await readTimeStamp(reply, Buffer.from(signedHeadText(head)), nonce);
      doneOrThrow(await storeTimeStamp(desk, actor, { size: head.size, reply, stamped }));
      return { size: head.size, ...stamped };
    } catch (thrown) {
      if (!(thrown instanceof SamescaleError) || !thrown.message.includes("something else")) throw thrown;
      fault = thrown;
    }
  }
  throw fault;
}

/** An authority answers in seconds; a person waits. */
const WAIT_MS = 30_000;

/**
 * Asks an authority over HTTP: the one that the practice names, inside the building. Nothing but the hash of a head leaves
 * this computer.
 *
 * @throws SamescaleError TIME_STAMP_UNREACHABLE
 * @source RFC3161 section 3.4
 */
export async function askAuthority(url: string, query: Uint8Array): Promise<Uint8Array> {
  try {
    const response = await fetch(url, {
      method: "POST",
      headers: { "content-type": "application/timestamp-query" },
      body: Uint8Array.from(query),
      redirect: "error",
      signal: AbortSignal.timeout(WAIT_MS),
    });
    if (!response.ok) throw new Error(`it answered ${response.status}`);
    return await readAtMost(response, LONGEST_REPLY_BYTES);
  } catch (thrown) {
    const cause = (thrown as Error).cause;
    const why = cause instanceof Error ? cause.message : (thrown as Error).message;
    throw new SamescaleError(
      "TIME_STAMP_UNREACHABLE",
      `The time-stamping authority at ${url} did not answer: ${why}`,
      "Try later, or write the query to a file (--to FOLDER) and take it to any authority.",
    );
  }
}

async function readAtMost(response: Response, most: number): Promise<Uint8Array> {
  const pieces: Uint8Array[] = [];
  let bytes = 0;
  for await (const piece of response.body ?? []) {
    pieces.push(piece);
    bytes += piece.length;
    if (bytes > most) throw new Error("its answer is too long to be a reply");
  }
  return Buffer.concat(pieces);
}

const refused = (why: string) =>
  new SamescaleError(
    "TIME_STAMP_REFUSED",
    `The time stamp was not kept: ${why}`,
    "Ask the authority anew with the query that `samescale custody stamp` writes, and give its reply as it came.",
  );
