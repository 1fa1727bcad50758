import { createHash } from "node:crypto";

/**
 * A UUID that follows from what it names, made of a SHA-256 (version 8): the same names give the same in every run, other
 * names another. @source RFC9562 section 5.8
 */
export function uuidOf(...names: readonly string[]): string {
  const hash = createHash("sha256")
    .update(names.map((name) => `${name.length}:${name}`).join(""))
    .digest();
  hash[6] = (hash[6]! & 0x0f) | 0x80;
  hash[8] = (hash[8]! & 0x3f) | 0x80;
  return hash.toString("hex").replace(/^(.{8})(.{4})(.{4})(.{4})(.{12}).*$/, "$1-$2-$3-$4-$5");
}

/** The same as a UID: 2.25 and the UUID as one number. @source DicomPS3.5 annex B.2 */
export const uidOf = (...names: readonly string[]): string =>
  `2.25.${BigInt(`0x${uuidOf(...names).replaceAll("-", "")}`)}`;
