import { createHash, createPublicKey, type KeyObject, sign } from "node:crypto";
import type { Kysely } from "kysely";
import type { Schema } from "../../tables/schema.ts";
import { isSignedBy } from "./signed-head.ts";

type Reading = Pick<Kysely<Schema>, "selectFrom">;

/** A key that signs or signed heads. Public keys are kept for ever. */
export interface PublicKey {
  /** SHA-256 of the public key in DER form. */
  readonly id: string;
  readonly pem: string;
  readonly madeAt: string;
  /** The key before, and its signature over `endorsementText`; null for the first, and where the key before was lost. */
  readonly endorsedBy: string | null;
  readonly endorsement: string | null;
  readonly retiredAt: string | null;
}

/** All keys that ever signed here, first to last. */
export async function publicKeysOf(db: Reading): Promise<PublicKey[]> {
  const rows = await db.selectFrom("signing_key").selectAll().orderBy("made_at").orderBy("id").execute();
  return rows.map((row) => ({
    id: row.id,
    pem: row.public_key,
    madeAt: row.made_at,
    endorsedBy: row.endorsed_by,
    endorsement: row.endorsement,
    retiredAt: row.retired_at,
  }));
}

/** SHA-256 of the public key in DER form, in hexadecimal. */
export function keyIdOf(key: KeyObject | string): string {
  const der = createPublicKey(key).export({ type: "spki", format: "der" });
  return createHash("sha256").update(der).digest("hex");
}

export const publicPemOf = (key: KeyObject): string =>
  createPublicKey(key).export({ type: "spki", format: "pem" }).toString();

/** Ed25519, base 64. @source RFC8032 section 5.1 */
export const signatureOver = (text: string, key: KeyObject): string =>
  sign(null, Buffer.from(text, "utf8"), key).toString("base64");

/** What the key before signs when a new one follows it. */
export const endorsementText = (key: Pick<PublicKey, "id" | "madeAt">, by: string): string =>
  `samescale key endorsement 1\nkey ${key.id}\nby ${by}\ntime ${key.madeAt}\n`;

/** Why a key may not be trusted as the follower of the one before; null where it may, or is the first. */
export function endorsementFault(key: PublicKey, before: PublicKey | undefined): string | null {
  if (before === undefined) return key.endorsedBy === null ? null : "names a key before it, and is the first";
  if (key.endorsedBy === null) return `is not endorsed by the key before it, ${before.id}`;
  if (key.endorsedBy !== before.id)
    return `is endorsed by ${key.endorsedBy}, the key before it is ${before.id}`;
  const sound = isSignedBy(endorsementText(key, before.id), key.endorsement ?? "", before.pem);
  return sound ? null : `is endorsed by a signature that does not fit the key before it, ${before.id}`;
}
