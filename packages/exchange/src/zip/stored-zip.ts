import { crc32 } from "node:zlib";

/** One file of an archive. It is read twice: first for its check sum, then for its bytes. */
export interface ZipFile {
  /** With `/` between folders. */
  readonly name: string;
  readonly bytes: number;
  open(): AsyncIterable<Uint8Array>;
}

/** An archive that its format cannot hold without the extension for large ones, which is not written here. */
export const MOST_ZIP_BYTES = 0xffff_0000;
export const MOST_ZIP_FILES = 65_000;

/** 2.0: folders in names. */
const VERSION = 20;
/** Names are UTF-8. */
const UTF8 = 0x0800;

export const fitsZip = (files: readonly Pick<ZipFile, "bytes">[]): boolean =>
  files.length <= MOST_ZIP_FILES && files.reduce((sum, { bytes }) => sum + bytes + 1000, 0) <= MOST_ZIP_BYTES;

/**
 * An archive of files as they are, not packed: what leaves (JPEG, PDF, DICOM) hardly gets smaller. Written piece by
 * piece, so that a large one never lies in memory. @throws Error when a file has other bytes at the second reading
 * @source Iso21320
 */
export async function* storedZip(files: readonly ZipFile[], madeAt: Date): AsyncGenerator<Uint8Array> {
  const heads: Buffer[] = [];
  let at = 0;
  for (const file of files) {
    const sum = await sumOf(file);
    const fields = fieldsOf(file, sum, madeAt);
    const name = Buffer.from(file.name, "utf8");
    heads.push(centralHead(fields, name, at));
    const head = Buffer.concat([u32(0x0403_4b50), u16(VERSION), fields, u16(name.length), u16(0), name]);
    yield head;
    let crc = 0;
    for await (const piece of file.open()) {
      crc = crc32(piece, crc);
      yield piece;
    }
    if (crc !== sum) throw new Error(`${file.name} changed while it was read`);
    at += head.length + file.bytes;
  }
  const heading = Buffer.concat(heads);
  yield heading;
  const count = u16(files.length);
  yield Buffer.concat([u32(0x0605_4b50), u16(0), u16(0), count, count, u32(heading.length), u32(at), u16(0)]);
}

async function sumOf(file: ZipFile): Promise<number> {
  let crc = 0;
  for await (const piece of file.open()) crc = crc32(piece, crc);
  return crc;
}

/** The part that stands both in front of each file and in the list at the end: flags to the second size. */
function fieldsOf({ bytes }: ZipFile, crc: number, madeAt: Date): Buffer {
  const time = (madeAt.getUTCHours() << 11) | (madeAt.getUTCMinutes() << 5) | (madeAt.getUTCSeconds() >> 1);
  // Its days begin in 1980.
  const date =
    (Math.max(0, madeAt.getUTCFullYear() - 1980) << 9) |
    ((madeAt.getUTCMonth() + 1) << 5) |
    madeAt.getUTCDate();
  return Buffer.concat([u16(UTF8), u16(0), u16(time), u16(date), u32(crc), u32(bytes), u32(bytes)]);
}

const centralHead = (fields: Buffer, name: Buffer, at: number): Buffer =>
  Buffer.concat([
    u32(0x0201_4b50),
    u16(VERSION),
    u16(VERSION),
    fields,
    u16(name.length),
    u16(0),
    u16(0),
    u16(0),
    u16(0),
    u32(0),
    u32(at),
    name,
  ]);

function u16(value: number): Buffer {
  const bytes = Buffer.alloc(2);
  bytes.writeUInt16LE(value);
  return bytes;
}

function u32(value: number): Buffer {
  const bytes = Buffer.alloc(4);
  bytes.writeUInt32LE(value >>> 0);
  return bytes;
}
