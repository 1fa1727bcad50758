/**
 * Finds the metadata block inside an HEIC file. The metadata library follows box lengths without a bound, so a
 * damaged file could keep it busy for ever; here every loop ends with the file.
 * @source ISO14496-12 (boxes, `iinf`, `iloc`); ISO23008-12, annex A (the Exif item)
 */
export function heifExif(bytes: Buffer): Buffer | null {
  const meta = childBox(bytes, 0, bytes.length, "meta");
  if (!meta) return null;
  const from = meta.start + 4; // a full box: version and flags come first
  const items = childBox(bytes, from, meta.end, "iinf");
  const locations = childBox(bytes, from, meta.end, "iloc");
  if (!items || !locations) return null;
  const id = exifItem(bytes, items);
  const place = id === null ? null : itemPlace(bytes, locations, id);
  if (!place || place.offset + 4 > bytes.length) return null;
  const end = Math.min(place.offset + place.length, bytes.length);
  const start = place.offset + 4 + bytes.readUInt32BE(place.offset);
  return start < end ? bytes.subarray(start, end) : null;
}

interface Box {
  readonly start: number;
  readonly end: number;
}

const MAX_BOXES = 4096;

function childBox(bytes: Buffer, from: number, to: number, name: string): Box | null {
  let at = from;
  for (let i = 0; i < MAX_BOXES && at + 8 <= to; i++) {
    let length = bytes.readUInt32BE(at);
    let header = 8;
    if (length === 1 && at + 16 <= to) {
      length = Number(bytes.readBigUInt64BE(at + 8));
      header = 16;
    } else if (length === 0) length = to - at;
    if (length < header || at + length > to) return null;
    if (bytes.toString("latin1", at + 4, at + 8) === name) return { start: at + header, end: at + length };
    at += length;
  }
  return null;
}

/** Identity of the item of type `Exif`. */
function exifItem(bytes: Buffer, box: Box): number | null {
  let at = box.start + (bytes[box.start] === 0 ? 6 : 8);
  for (let i = 0; i < MAX_BOXES; i++) {
    const entry = childBox(bytes, at, box.end, "infe");
    if (!entry || entry.start + 12 > entry.end) return null;
    const version = bytes[entry.start]!;
    const idSize = version >= 3 ? 4 : 2;
    const typeAt = entry.start + 4 + idSize + 2;
    if (version >= 2 && bytes.toString("latin1", typeAt, typeAt + 4) === "Exif") {
      return bytes.readUIntBE(entry.start + 4, idSize);
    }
    at = entry.end;
  }
  return null;
}

/** Where an item that lies in one piece in the file itself begins, and how long it is. */
function itemPlace(bytes: Buffer, box: Box, id: number): { offset: number; length: number } | null {
  const version = bytes[box.start]!;
  let at = box.start + 4;
  const read = (size: number): number => {
    if (at + size > box.end) throw new RangeError("box ends");
    const value =
      size === 0 ? 0 : size === 8 ? Number(bytes.readBigUInt64BE(at)) : bytes.readUIntBE(at, size);
    at += size;
    return value;
  };
  try {
    const sizes = read(2);
    const offsetSize = sizes >> 12;
    const lengthSize = (sizes >> 8) & 15;
    const baseSize = (sizes >> 4) & 15;
    const indexSize = version >= 1 ? sizes & 15 : 0;
    if ([offsetSize, lengthSize, baseSize, indexSize].some((size) => ![0, 4, 8].includes(size))) return null;
    const count = Math.min(read(version < 2 ? 2 : 4), MAX_BOXES);
    for (let i = 0; i < count; i++) {
      const itemId = read(version < 2 ? 2 : 4);
      const inFile = version === 0 || (read(2) & 15) === 0;
      read(2); // data reference
      const base = read(baseSize);
      const extents = read(2);
      for (let e = 0; e < extents; e++) {
        read(indexSize);
        const offset = base + read(offsetSize);
        const length = read(lengthSize);
        if (itemId === id) return inFile && extents === 1 ? { offset, length } : null;
      }
    }
  } catch (thrown) {
    if (!(thrown instanceof RangeError)) throw thrown;
  }
  return null;
}
