import { createHash } from "node:crypto";
import { BAGIT_TXT } from "./make-bag.ts";
import {
  ALGORITHMS,
  type Algorithm,
  type BagFault,
  type ManifestEntry,
  manifestEntries,
} from "./manifest.ts";

/** Where a bag is read from. */
export interface BagSource {
  /** Paths of all files from the bag's top, and what is there and is no file (a link, a device). */
  list(): Promise<{ readonly files: readonly string[]; readonly others: readonly string[] }>;
  read(path: string): AsyncIterable<Uint8Array>;
}

/** Tag files are read whole; nobody's are larger. */
const MOST_TAG_BYTES = 64 * 1024 * 1024;

/**
 * Everything that is wrong with a bag; none: it is complete, and every file is what it was.
 * Bags that are to be completed from elsewhere (fetch.txt) are refused: nothing is fetched.
 * @source RFC8493
 */
export async function checkBag(source: BagSource): Promise<readonly BagFault[]> {
  const { files, others } = await source.list();
  const there = new Set(files);
  const faults: BagFault[] = others.map((path) => ({ path, says: "is neither a file nor a folder" }));
  const declared = there.has("bagit.txt") ? await tagText(source, "bagit.txt") : null;
  if (declared === null) return [...faults, { path: "bagit.txt", says: "is missing: this is no bag" }];
  const wrong = wrongDeclaration(declared);
  if (wrong !== null) return [...faults, { path: "bagit.txt", says: wrong }];
  if (there.has("fetch.txt")) faults.push({ path: "fetch.txt", says: "names files that are elsewhere" });

  const payload = files.filter((path) => path.startsWith("data/"));
  const expected = new Map<string, Partial<Record<Algorithm, string>>>();
  const listed = (entries: readonly ManifestEntry[], algorithm: Algorithm) => {
    for (const { path, hash } of entries) {
      expected.set(path, { ...expected.get(path), [algorithm]: hash });
    }
  };
  let manifests = 0;
  for (const algorithm of ALGORITHMS) {
    const manifest = `manifest-${algorithm}.txt`;
    if (there.has(manifest)) {
      manifests += 1;
      const text = await tagText(source, manifest);
      const { entries, faults: found } = manifestEntries(text, manifest, algorithm, "payload");
      faults.push(...found);
      listed(entries, algorithm);
      const names = new Set(entries.map(({ path }) => path));
      for (const path of payload)
        if (!names.has(path)) faults.push({ path, says: `is not listed in ${manifest}` });
    }
    const tagManifest = `tagmanifest-${algorithm}.txt`;
    if (there.has(tagManifest)) {
      const text = await tagText(source, tagManifest);
      const { entries, faults: found } = manifestEntries(text, tagManifest, algorithm, "tags");
      faults.push(...found);
      listed(entries, algorithm);
    }
  }
  if (manifests === 0)
    faults.push({ path: "manifest-sha256.txt", says: "is missing, and so is manifest-sha512.txt" });

  let payloadBytes = 0;
  for (const [path, hashes] of expected) {
    if (!there.has(path)) {
      faults.push({ path, says: "is listed and missing" });
      continue;
    }
    const { bytes, differs } = await compare(source, path, hashes);
    if (differs.length > 0) faults.push({ path, says: `is not what ${differs.join(" and ")} say` });
    if (path.startsWith("data/")) payloadBytes += bytes;
  }
  if (there.has("bag-info.txt")) {
    const info = await tagText(source, "bag-info.txt");
    const oxum = /^Payload-Oxum:[ \t]*(\S*)/im.exec(info)?.[1];
    const counted = `${payloadBytes}.${payload.length}`;
    if (oxum !== undefined && oxum !== counted) {
      faults.push({ path: "bag-info.txt", says: `Payload-Oxum is ${oxum}, counted ${counted}` });
    }
  }
  return faults;
}

/** Two lines, in this order, and nothing else; no byte order mark. @source RFC8493 2.1.1 */
function wrongDeclaration(text: string): string | null {
  if (text.startsWith("\uFEFF")) return "begins with a byte order mark";
  const plain = text.replace(/\r\n?/g, "\n");
  if (plain === BAGIT_TXT || `${plain}\n` === BAGIT_TXT) return null;
  const version = /^BagIt-Version: (\S+)$/m.exec(plain)?.[1];
  if (version !== undefined && version !== "1.0") return `is of version ${version}; 1.0 is read`;
  return "is not the two lines that begin a bag of version 1.0 in UTF-8";
}

async function compare(
  source: BagSource,
  path: string,
  expected: Partial<Record<Algorithm, string>>,
): Promise<{ readonly bytes: number; readonly differs: readonly string[] }> {
  const wanted = ALGORITHMS.filter((algorithm) => expected[algorithm] !== undefined);
  const hashes = wanted.map((algorithm) => createHash(algorithm));
  let bytes = 0;
  for await (const part of source.read(path)) {
    for (const hash of hashes) hash.update(part);
    bytes += part.byteLength;
  }
  const differs = wanted.filter((algorithm, i) => hashes[i]!.digest("hex") !== expected[algorithm]);
  return { bytes, differs };
}

async function tagText(source: BagSource, path: string): Promise<string> {
  const parts: Uint8Array[] = [];
  let bytes = 0;
  for await (const part of source.read(path)) {
    bytes += part.byteLength;
    if (bytes > MOST_TAG_BYTES) break;
    parts.push(part);
  }
  return new TextDecoder("utf-8", { ignoreBOM: true }).decode(Buffer.concat(parts));
}
