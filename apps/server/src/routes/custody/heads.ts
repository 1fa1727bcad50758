import {
  askAuthority,
  askForTimeStamp,
  type Desk,
  keepTimeStamp,
  PHOTOGRAPHERS,
  signatures,
  signedHeadFile,
  signedOrWhy,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { LOG_READERS } from "./readers.ts";

/** A signed head of the log, with the time stamps over it. */
export interface ListedHead {
  readonly size: number;
  readonly root: string;
  readonly time: string;
  readonly keyId: string;
  readonly stamps: readonly { readonly id: string; readonly madeAt: string }[];
}

/** What was signed, and by which keys. */
export interface SignedSoFar {
  /** The newest first. */
  readonly heads: readonly ListedHead[];
  readonly headCount: number;
  readonly keys: readonly {
    readonly id: string;
    readonly madeAt: string;
    readonly retiredAt: string | null;
    /** False: no key before it stands for it, and it is not the first. */
    readonly isEndorsed: boolean;
  }[];
  /** The time-stamping authority that the practice names; null: none, nothing is ever sent. */
  readonly authority: string | null;
}

/** An authority's word that a signed head was there at a time. */
export interface StampKept {
  readonly size: number;
  readonly time: string;
  readonly authority: string | null;
}

const LISTED = 20;
const signs = { may: PHOTOGRAPHERS };
const reads = { may: LOG_READERS };
const size = z.coerce.number().int().min(1);
/** A query is some 60 bytes, a reply with its certificates a few kB. */
const der = z.base64().max(400_000);

/** Signed heads of the log: made, kept elsewhere, stamped by an authority. */
export const headRoutes: Area = (app, { desk, practice }) => {
  app.get("/custody/heads", { config: reads }, async (): Promise<SignedSoFar> => {
    const { keys, heads, stamps } = await signatures(desk);
    const newest = heads.toReversed().slice(0, LISTED);
    return {
      heads: newest.map((head) => ({
        size: head.size,
        root: head.root,
        time: head.time,
        keyId: head.keyId,
        stamps: stamps.filter((stamp) => stamp.size === head.size).map(({ id, madeAt }) => ({ id, madeAt })),
      })),
      headCount: heads.length,
      keys: keys.map(({ id, madeAt, retiredAt, endorsedBy }, at) => {
        return { id, madeAt, retiredAt, isEndorsed: at === 0 || endorsedBy !== null };
      }),
      authority: (await practice()).timeStamp?.url ?? null,
    };
  });

  app.post("/custody/heads", { config: signs }, async (): Promise<{ readonly size: number }> => {
    const signed = await signedOrWhy(desk);
    if ("signed" in signed) return { size: signed.signed.size };
    throw new SamescaleError("ACT_REFUSED", signed.notSigned, "The log itself stands as it was.");
  });

  app.get(
    "/custody/heads/:size/signed-head.txt",
    { config: reads, schema: { params: z.object({ size }) } },
    async (request, reply) => {
      const text = await headText(desk, request.params.size);
      return await reply
        .type("text/plain; charset=utf-8")
        .header("content-disposition", `attachment; filename="signed-head-${request.params.size}.txt"`)
        .send(text);
    },
  );

  app.get(
    "/custody/stamps/:id",
    { config: reads, schema: { params: z.object({ id: z.string().regex(/^[0-9A-Za-z-]{1,40}$/) }) } },
    async (request, reply) => {
      const stamp = (await signatures(desk)).stamps.find(({ id }) => id === request.params.id);
      if (!stamp) throw noHead();
      return await reply
        .type("application/timestamp-reply")
        .header("content-disposition", `attachment; filename="time-stamp-${stamp.size}.tsr"`)
        .send(Buffer.from(stamp.reply));
    },
  );

  app.post("/custody/stamps/query", { config: signs }, async (_request, reply) => {
    const { head, query } = await askForTimeStamp(desk);
    return await reply
      .type("application/timestamp-query")
      .header("content-disposition", `attachment; filename="query-${head.size}.tsq"`)
      .send(Buffer.from(query));
  });

  app.post(
    "/custody/stamps",
    { config: signs, schema: { body: z.strictObject({ query: der, reply: der }) } },
    async (request): Promise<StampKept> => {
      const query = Buffer.from(request.body.query, "base64");
      const reply = Buffer.from(request.body.reply, "base64");
      return await keepTimeStamp(desk, who(request), { query, reply });
    },
  );

  app.post("/custody/stamps/ask", { config: signs }, async (request): Promise<StampKept> => {
    const authority = (await practice()).timeStamp;
    if (authority === undefined) {
      throw new SamescaleError(
        "ACT_REFUSED",
        "The practice names no time-stamping authority",
        "Write timeStamp: { url: … } into department.yaml, or take a query to any authority.",
      );
    }
    const { query } = await askForTimeStamp(desk);
    return await keepTimeStamp(desk, who(request), {
      query,
      reply: await askAuthority(authority.url, query),
    });
  });
};

async function headText(desk: Desk, wanted: number): Promise<string> {
  const { keys, heads } = await signatures(desk);
  const head = heads.find((one) => one.size === wanted);
  const key = keys.find(({ id }) => id === head?.keyId);
  if (head && key) return signedHeadFile(head, key.pem);
  throw noHead();
}

const noHead = () =>
  new SamescaleError("ENTRY_MISSING", "There is no such signed head", "Choose one of those that are listed.");
