import type { KeyObject } from "node:crypto";
import { SamescaleError } from "@samescale/errors";
import type { Kysely, Selectable } from "kysely";
import type { SignedHeadTable } from "../../tables/rows/custody.ts";
import type { Schema } from "../../tables/schema.ts";
import type { Writing } from "../../writing.ts";
import type { Json } from "../canonical.ts";
import { currentHead } from "../log.ts";
import { rootAt } from "../tree/nodes.ts";
import { makeKeyFile, makeNextKey, nextKeyFile, readKeyFile, takeNextKey } from "./key-file.ts";
import {
  endorsementText,
  keyIdOf,
  type PublicKey,
  publicKeysOf,
  publicPemOf,
  signatureOver,
} from "./keys.ts";
import { type SignedHead, signedHeadText } from "./signed-head.ts";

/** What signing needs of a library. */
export interface Signing {
  readonly db: Kysely<Schema>;
  readonly keyFile: string;
  readonly clock: () => Date;
  readonly write: (
    actor: string,
    work: (writing: Writing) => Promise<{
      readonly value: null;
      readonly deed: { act: string; subject: string; details?: { [key: string]: Json } } | null;
    }>,
  ) => Promise<unknown>;
}

/** Every signed head, smallest first. */
export async function signedHeadsOf(db: Pick<Kysely<Schema>, "selectFrom">): Promise<SignedHead[]> {
  return (await db.selectFrom("signed_head").selectAll().orderBy("size").execute()).map(headOfRow);
}

/**
 * Signs the present head. A head of this size that is signed already is returned as it is; the first call makes the
 * key.
 *
 * @throws SamescaleError KEY_MISSING, KEY_TOO_OPEN, KEY_UNREADABLE, TREE_INCOMPLETE
 */
export async function signHead(signing: Signing): Promise<SignedHead> {
  const { db, clock } = signing;
  const key = await presentKey(signing);
  const { sequence: size, hash } = await currentHead(db);
  const known = await signedAt(db, size);
  if (known !== null) return known;
  // Complete subtrees never change: the root of this size is the same whatever is appended meanwhile.
  const head = { size, root: await rootAt(db, size), hash, time: clock().toISOString(), keyId: keyIdOf(key) };
  const { keyId: key_id, ...columns } = head;
  const row = { ...columns, key_id, signature: signatureOver(signedHeadText(head), key) };
  await db
    .insertInto("signed_head")
    .values(row)
    .onConflict((same) => same.column("size").doNothing())
    .execute();
  return (await signedAt(db, size)) ?? headOfRow(row);
}

/**
 * A new key takes over, endorsed by the one before, whose private part is removed; the log tells of it, and the head after
 * it is signed by the new key.
 *
 * @param lost the key before is gone and cannot endorse: the new one stands alone, and every `verify` says so
 */
export async function rotateKey(
  signing: Signing,
  actor: string,
  because: string,
  lost: boolean,
): Promise<SignedHead> {
  const { keyFile, clock } = signing;
  const before = lost ? null : await presentKey(signing);
  const next = await makeNextKey(keyFile);
  await signing.write(actor, async (writing) => {
    const last = (await publicKeysOf(writing.tables as unknown as Kysely<Schema>)).at(-1);
    if (before !== null && last?.id !== keyIdOf(before)) {
      throw keyMissing(keyFile, "was replaced by another program just now");
    }
    const now = laterThan(last?.madeAt, clock());
    const row = { id: keyIdOf(next), madeAt: now };
    if (last !== undefined) await writing.update("signing_key", last.id, { retired_at: now });
    await writing.insert("signing_key", {
      id: row.id,
      public_key: publicPemOf(next),
      made_at: now,
      endorsed_by: before && keyIdOf(before),
      endorsement: before && signatureOver(endorsementText(row, keyIdOf(before)), before),
      retired_at: null,
    });
    const deed = {
      act: lost ? KEY_REPLACED : "key.rotate",
      subject: `signing_key/${row.id}`,
      details: { because, before: last?.id ?? null },
    };
    return { value: null, deed };
  });
  await takeNextKey(keyFile);
  return signHead(signing);
}

/** Keys follow each other by their times: a clock that was set back must not change that. */
function laterThan(before: string | undefined, now: Date): string {
  const least = before === undefined ? 0 : Date.parse(before) + 1;
  return new Date(Math.max(now.getTime(), least)).toISOString();
}

/** The act that tells of a key which nobody endorses, as the one before was lost. */
export const KEY_REPLACED = "key.replace";

/** The private key that belongs to the newest public one; made when the library has none yet. */
async function presentKey(signing: Signing): Promise<KeyObject> {
  const { db, keyFile } = signing;
  const newest = (await publicKeysOf(db)).at(-1);
  const key = await readKeyFile(keyFile);
  if (newest === undefined) return firstKey(signing, key ?? (await makeKeyFile(keyFile)));
  if (key !== null && keyIdOf(key) === newest.id) return key;
  return rotatedKey(keyFile, newest);
}

async function firstKey(signing: Signing, made: KeyObject | null): Promise<KeyObject> {
  // Null: another program was faster, and its file is there now.
  const key = made ?? (await readKeyFile(signing.keyFile));
  if (key === null) throw keyMissing(signing.keyFile, "is gone again");
  const id = keyIdOf(key);
  await signing.write("samescale", async (writing) => {
    const known = await writing.tables.selectFrom("signing_key").select("id").executeTakeFirst();
    if (known !== undefined) return { value: null, deed: null };
    const made_at = signing.clock().toISOString();
    const public_key = publicPemOf(key);
    await writing.insert("signing_key", {
      id,
      public_key,
      made_at,
      endorsed_by: null,
      endorsement: null,
      retired_at: null,
    });
    return { value: null, deed: { act: "key.make", subject: `signing_key/${id}` } };
  });
  return presentKey(signing);
}

/** A rotation that was killed after the log told of it is finished here. */
async function rotatedKey(keyFile: string, newest: PublicKey): Promise<KeyObject> {
  const next = await readKeyFile(nextKeyFile(keyFile));
  if (next === null || keyIdOf(next) !== newest.id) {
    throw keyMissing(keyFile, `is not there or is another key than ${newest.id}`);
  }
  await takeNextKey(keyFile);
  return next;
}

async function signedAt(db: Kysely<Schema>, size: number): Promise<SignedHead | null> {
  const row = await db.selectFrom("signed_head").selectAll().where("size", "=", size).executeTakeFirst();
  return row === undefined ? null : headOfRow(row);
}

function headOfRow({ key_id, ...row }: Selectable<SignedHeadTable>): SignedHead {
  return { ...row, keyId: key_id };
}

const keyMissing = (file: string, why: string) =>
  new SamescaleError(
    "KEY_MISSING",
    `Nothing was signed: the key that signs this library's heads ${why}: ${file}`,
    "Name its file with SAMESCALE_KEY, or restore it; if it is lost for good: samescale custody rotate --lost.",
  );
