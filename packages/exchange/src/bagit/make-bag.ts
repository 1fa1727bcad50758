import { createHash, type Hash } from "node:crypto";
import { SamescaleError } from "@samescale/errors";
import { ALGORITHMS, type Algorithm, type ManifestEntry, manifestText, wrongPath } from "./manifest.ts";

/** One file of a bag. */
export interface BagFile {
  /** From the bag's top, `/` between folders. */
  readonly path: string;
  readonly bytes: Uint8Array | AsyncIterable<Uint8Array>;
}

export interface BagContents {
  /** What is kept in the bag; paths within `data/`. */
  readonly payload: AsyncIterable<BagFile> | Iterable<BagFile>;
  /** Files beside it that tell of it, made once the payload is known. */
  readonly tagFiles: () => readonly BagFile[];
  /** Lines of bag-info.txt, in this order; Payload-Oxum is added. */
  readonly info: readonly (readonly [label: string, value: string])[];
}

export const BAGIT_TXT = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";

/**
 * The files of a bag, payload first and one after the other: each is to be read to its end before the next is asked for.
 * @source RFC8493
 * @throws SamescaleError BAG_NOT_MADE a path that leaves the bag, a path twice, a file that was not read
 */
export async function* makeBag({ payload, tagFiles, info }: BagContents): AsyncGenerator<BagFile> {
  const payloadEntries = new Entries();
  let [bytes, files] = [0, 0];
  for await (const file of payload) {
    const path = `data/${file.path}`;
    const wrong = wrongPath(path, "payload");
    if (wrong !== null) throw notMade(wrong);
    const read = readingOf(file.bytes);
    yield { path, bytes: read.bytes };
    payloadEntries.add(path, read.hashes());
    bytes += read.length();
    files += 1;
  }
  const tagEntries = new Entries();
  const oxum = ["Payload-Oxum", `${bytes}.${files}`] as const;
  const tags: BagFile[] = [
    { path: "bagit.txt", bytes: Buffer.from(BAGIT_TXT) },
    { path: "bag-info.txt", bytes: Buffer.from(infoText([...info, oxum])) },
    ...ALGORITHMS.map((algorithm) => ({
      path: `manifest-${algorithm}.txt`,
      bytes: Buffer.from(manifestText(payloadEntries.of(algorithm))),
    })),
    ...tagFiles(),
  ];
  for (const file of tags) {
    const wrong = wrongPath(file.path, "tags");
    if (wrong !== null) throw notMade(wrong);
    const read = readingOf(file.bytes);
    yield { path: file.path, bytes: read.bytes };
    tagEntries.add(file.path, read.hashes());
  }
  for (const algorithm of ALGORITHMS) {
    const bytes = Buffer.from(manifestText(tagEntries.of(algorithm)));
    yield { path: `tagmanifest-${algorithm}.txt`, bytes };
  }
}

/** Label and value on one line each: what would begin a new line in a value becomes a space. */
const infoText = (info: BagContents["info"]): string =>
  info
    .map(([label, value]) => `${label}: ${value.replace(/[\p{Cc}\u2028\u2029]+/gu, " ").trim()}\n`)
    .join("");

class Entries {
  readonly #hashes = new Map<string, Readonly<Record<Algorithm, string>>>();

  add(path: string, hashes: Readonly<Record<Algorithm, string>>): void {
    if (this.#hashes.has(path)) throw notMade(`${path} is there twice`);
    this.#hashes.set(path, hashes);
  }

  of(algorithm: Algorithm): ManifestEntry[] {
    return [...this.#hashes].map(([path, hashes]) => ({ path, hash: hashes[algorithm] }));
  }
}

/** The bytes as they were, hashed on the way. */
function readingOf(bytes: BagFile["bytes"]) {
  const hashes = Object.fromEntries(ALGORITHMS.map((a) => [a, createHash(a)])) as Record<Algorithm, Hash>;
  let length = 0;
  let ended = false;
  const take = (part: Uint8Array) => {
    for (const algorithm of ALGORITHMS) hashes[algorithm].update(part);
    length += part.byteLength;
  };
  async function* passing(parts: AsyncIterable<Uint8Array>) {
    for await (const part of parts) {
      take(part);
      yield part;
    }
    ended = true;
  }
  if (bytes instanceof Uint8Array) {
    take(bytes);
    ended = true;
  }
  return {
    bytes: bytes instanceof Uint8Array ? bytes : passing(bytes),
    length: () => length,
    hashes(): Readonly<Record<Algorithm, string>> {
      if (!ended) throw notMade("a file was not read to its end before the next one");
      const digests = ALGORITHMS.map((algorithm) => [algorithm, hashes[algorithm].digest("hex")]);
      return Object.fromEntries(digests) as Record<Algorithm, string>;
    },
  };
}

const notMade = (why: string): SamescaleError =>
  new SamescaleError("BAG_NOT_MADE", `The bag cannot be made: ${why}`, "Please report it; nothing left.");
