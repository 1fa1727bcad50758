import { createPublicKey, verify } from "node:crypto";

/** A head of the log that a key stands for: what it says, and the signature over exactly that. */
export interface SignedHead {
  /** How many entries of the log it covers. */
  readonly size: number;
  /** Root of the tree over them. */
  readonly root: string;
  /** Hash of the last of them. */
  readonly hash: string;
  /** When it was signed, by the clock of the computer that did it. */
  readonly time: string;
  /** SHA-256 of the public key in DER form. */
  readonly keyId: string;
  /** Ed25519 over `signedHeadText`, base 64. */
  readonly signature: string;
}

const FORM = "samescale signed head 1";

/** The exact bytes that are signed: plain lines, so that `openssl` checks them as they stand (docs/custody.md). */
export function signedHeadText(head: Omit<SignedHead, "signature">): string {
  const { size, root, hash, time, keyId } = head;
  return `${FORM}\nsize ${size}\nroot ${root}\nhash ${hash}\ntime ${time}\nkey ${keyId}\n`;
}

/** Does the signature fit, under this public key (PEM)? False for anything that is no key or no signature. */
export function isSignedBy(text: string, signature: string, publicKey: string): boolean {
  try {
    const bytes = Buffer.from(signature, "base64");
    // Base 64 leaves room for several writings of the same bytes; only one of them is ours.
    if (bytes.toString("base64") !== signature) return false;
    return verify(null, Buffer.from(text, "utf8"), createPublicKey(publicKey), bytes);
  } catch {
    return false;
  }
}

/**
 * A signed head in one file, to be kept elsewhere: its text, then the signature and the public key in base 64. The
 * key proves nothing by lying there; its SHA-256 is the `key` of the text, and the library must know it.
 */
export function signedHeadFile(head: SignedHead, publicKey: string): string {
  const der = createPublicKey(publicKey).export({ type: "spki", format: "der" }).toString("base64");
  return `${signedHeadText(head)}signature ${head.signature}\npublic ${der}\n`;
}

const FILE = new RegExp(
  `^${FORM}\\nsize (\\d{1,15})\\nroot ([0-9a-f]{64})\\nhash ([0-9a-f]{64})\\n` +
    "time (\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d\\.\\d{3}Z)\\nkey ([0-9a-f]{64})\\n" +
    "signature ([A-Za-z0-9+/]{86}==)\\npublic ([A-Za-z0-9+/]{59}=)\\n$",
);

/** What `signedHeadFile` wrote, to the byte; null for anything else. */
export function signedHeadOfFile(text: string): { head: SignedHead; publicKey: string } | null {
  const [, size, root = "", hash = "", time = "", keyId = "", signature = "", der = ""] =
    FILE.exec(text) ?? [];
  if (size === undefined) return null;
  const head = { size: Number(size), root, hash, time, keyId, signature };
  try {
    const key = createPublicKey({ key: Buffer.from(der, "base64"), type: "spki", format: "der" });
    const publicKey = key.export({ type: "spki", format: "pem" }).toString();
    return signedHeadFile(head, publicKey) === text ? { head, publicKey } : null;
  } catch {
    return null;
  }
}
