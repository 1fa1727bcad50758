/** Hashes that a bag carries: SHA-256 for the tools that everybody has, SHA-512 as RFC 8493 asks for. */
export const ALGORITHMS = ["sha256", "sha512"] as const;
export type Algorithm = (typeof ALGORITHMS)[number];

const HEX_LENGTH: Readonly<Record<Algorithm, number>> = { sha256: 64, sha512: 128 };

export interface ManifestEntry {
  readonly path: string;
  /** Small letters. */
  readonly hash: string;
}

export interface BagFault {
  /** The file in the bag that is wrong. */
  readonly path: string;
  readonly says: string;
}

/** One line per file, in the form that `sha256sum --check` reads. @source RFC8493 2.1.3 */
export const manifestText = (entries: readonly ManifestEntry[]): string =>
  entries.map(({ path, hash }) => `${hash}  ${encodedPath(path)}\n`).join("");

/** CR, LF and % are written as %0D, %0A and %25, nothing else. @source RFC8493 2.1.3 */
const encodedPath = (path: string): string =>
  path.replaceAll("%", "%25").replaceAll("\r", "%0D").replaceAll("\n", "%0A");

const decodedPath = (path: string): string =>
  path.replace(/%(25|0D|0A)/gi, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)));

/** The entries of a manifest, and what is wrong with it. A path that is wrong is no entry: nothing may follow it. */
export function manifestEntries(
  text: string,
  manifest: string,
  algorithm: Algorithm,
  holds: "payload" | "tags",
): { readonly entries: readonly ManifestEntry[]; readonly faults: readonly BagFault[] } {
  const faults: BagFault[] = [];
  const entries = new Map<string, ManifestEntry>();
  const lines = text.split(/\r\n|\r|\n/);
  if (lines.at(-1) === "") lines.pop();
  for (const [i, line] of lines.entries()) {
    const read = entryOf(line, algorithm, holds);
    const twice = !("says" in read) && entries.has(read.path.normalize("NFC"));
    if ("says" in read) faults.push({ path: manifest, says: `line ${i + 1}: ${read.says}` });
    else if (twice) faults.push({ path: manifest, says: `line ${i + 1}: ${read.path} is listed twice` });
    else entries.set(read.path.normalize("NFC"), read);
  }
  return { entries: [...entries.values()], faults };
}

function entryOf(
  line: string,
  algorithm: Algorithm,
  holds: "payload" | "tags",
): ManifestEntry | { readonly says: string } {
  const parts = /^([0-9A-Fa-f]+)[ \t]+(\S.*)$/s.exec(line);
  if (!parts) return { says: "expected a hash, white space and a path" };
  const [, hash, written] = parts as unknown as [string, string, string];
  if (hash.length !== HEX_LENGTH[algorithm]) return { says: `its hash is no ${algorithm} in hex` };
  const path = decodedPath(written.replace(/^\*|^\.\//, ""));
  const wrong = wrongPath(path, holds);
  return wrong === null ? { path, hash: hash.toLowerCase() } : { says: wrong };
}

/** Why a path must not be followed; null: it stays within the bag. @source RFC8493 2.1.3, 5.1 */
export function wrongPath(path: string, holds: "payload" | "tags"): string | null {
  const shown = JSON.stringify(path.slice(0, 100));
  if (/^[/~]|^[A-Za-z]:|\\|\0/.test(path))
    return `the path ${shown} leaves the bag or means something to a shell`;
  if (path.split("/").some((part) => part === ".." || part === "." || part === "")) {
    return `the path ${shown} leaves the bag or takes a detour`;
  }
  const isPayload = path.startsWith("data/");
  if (holds === "payload" && !isPayload) return `${shown} does not lie in data/`;
  if (holds === "tags" && (isPayload || /^tagmanifest-[^/]*\.txt$/.test(path))) {
    return `${shown} does not belong into a tag manifest`;
  }
  return null;
}
