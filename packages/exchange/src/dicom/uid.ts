import { createHash } from "node:crypto";

/**
 * A UID that follows from what it names: 2.25 and a UUID as one number, the UUID made of a SHA-256 (version 8). The same
 * names give the same UID in every run, other names another. @source DicomPS3.5 annex B.2, RFC9562
 */
export function uidOf(...names: readonly string[]): string {
  const hash = createHash("sha256")
    .update(names.map((name) => `${name.length}:${name}`).join(""))
    .digest();
  const uuid = hash.subarray(0, 16);
  uuid[6] = (uuid[6]! & 0x0f) | 0x80;
  uuid[8] = (uuid[8]! & 0x3f) | 0x80;
  return `2.25.${BigInt(`0x${uuid.toString("hex")}`)}`;
}
