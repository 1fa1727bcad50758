/**
 * Which bytes of an SQLite database file hold something (sqlite.org/fileformat2.html): the others are the engine's own
 * free space, in which a flipped bit changes nothing that anybody reads.
 */

/** Bytes of the file's first page that the engine keeps for itself and that no record depends on. */
const HEADER_OF_THE_ENGINE: readonly (readonly [from: number, to: number, what: string])[] = [
  [18, 19, "version for writing"],
  [24, 27, "change counter"],
  [40, 51, "schema cookie, schema format, suggested cache size"],
  [56, 63, "text encoding, version of the program's own"],
  [72, 99, "reserved; version of SQLite that wrote last"],
];

const BTREE_TYPES = [2, 5, 10, 13];
const isInterior = (type: number) => type === 2 || type === 5;

/** Ranges `[from, to)` of the file that lie in free space, and what they are. */
export function freeRanges(file: Buffer): [from: number, to: number, what: string][] {
  const pageBytes = file.readUInt16BE(16);
  const ranges: [number, number, string][] = HEADER_OF_THE_ENGINE.map(([from, to, what]) => [
    from,
    to + 1,
    what,
  ]);
  for (let start = 0; start < file.length; start += pageBytes) {
    const page = file.subarray(start, start + pageBytes);
    const header = start === 0 ? 100 : 0;
    const type = page[header] ?? 0;
    if (!BTREE_TYPES.includes(type)) continue;
    const cells = page.readUInt16BE(header + 3);
    if (cells === 0 && !isInterior(type)) {
      ranges.push([start + header, start + pageBytes, "page of an empty table or index"]);
      continue;
    }
    const pointers = header + (isInterior(type) ? 12 : 8);
    const content = page.readUInt16BE(header + 5) || 65536;
    ranges.push([start + pointers + 2 * cells, start + content, "between cell pointers and cells"]);
    for (let at = page.readUInt16BE(header + 1); at !== 0; at = page.readUInt16BE(at)) {
      ranges.push([start + at + 4, start + at + page.readUInt16BE(at + 2), "free block"]);
    }
  }
  return ranges;
}
