/** Writes small TIFF structures for tests: entries by tag, values placed after the directory. */

export type Value =
  | { readonly type: "ascii"; readonly text: string }
  | { readonly type: "byte"; readonly bytes: readonly number[] }
  | { readonly type: "undefined"; readonly bytes: readonly number[] }
  | { readonly type: "short"; readonly values: readonly number[] }
  | { readonly type: "long"; readonly values: readonly number[] }
  | { readonly type: "rational"; readonly ratios: readonly (readonly [number, number])[] }
  | { readonly type: "srational"; readonly ratios: readonly (readonly [number, number])[] }
  /** Bytes of the reader's choosing: type code, count and the four value bytes as they are. */
  | { readonly type: "raw"; readonly code: number; readonly count: number; readonly value: number };

export type Entries = Readonly<Record<number, Value>>;

const CODE = { byte: 1, ascii: 2, short: 3, long: 4, rational: 5, undefined: 7, srational: 10 } as const;

function bytesOf(value: Exclude<Value, { type: "raw" }>): { count: number; data: Buffer } {
  switch (value.type) {
    case "ascii": {
      const data = Buffer.from(`${value.text}\0`, "utf8");
      return { count: data.length, data };
    }
    case "byte":
    case "undefined":
      return { count: value.bytes.length, data: Buffer.from(value.bytes) };
    case "short":
    case "long": {
      const size = value.type === "short" ? 2 : 4;
      const data = Buffer.alloc(size * value.values.length);
      value.values.forEach((v, i) => {
        data.writeUIntLE(v, size * i, size);
      });
      return { count: value.values.length, data };
    }
    default: {
      const data = Buffer.alloc(8 * value.ratios.length);
      value.ratios.forEach(([over, under], i) => {
        data.writeInt32LE(over | 0, 8 * i);
        data.writeInt32LE(under | 0, 8 * i + 4);
      });
      return { count: value.ratios.length, data };
    }
  }
}

/** One directory whose offsets are right for `base`, the position at which it will lie. */
export function directory(entries: Entries, base: number, next = 0): Buffer {
  const tags = Object.keys(entries)
    .map(Number)
    .sort((a, b) => a - b);
  const head = Buffer.alloc(2 + 12 * tags.length + 4);
  head.writeUInt16LE(tags.length, 0);
  const values: Buffer[] = [];
  let valuesAt = base + head.length;
  tags.forEach((tag, i) => {
    const at = 2 + 12 * i;
    const value = entries[tag]!;
    head.writeUInt16LE(tag, at);
    if (value.type === "raw") {
      head.writeUInt16LE(value.code, at + 2);
      head.writeUInt32LE(value.count, at + 4);
      head.writeUInt32LE(value.value, at + 8);
      return;
    }
    const { count, data } = bytesOf(value);
    head.writeUInt16LE(CODE[value.type], at + 2);
    head.writeUInt32LE(count, at + 4);
    if (data.length <= 4) data.copy(head, at + 8);
    else {
      head.writeUInt32LE(valuesAt, at + 8);
      const padded = Buffer.concat([data, Buffer.alloc(data.length % 2)]);
      values.push(padded);
      valuesAt += padded.length;
    }
  });
  head.writeUInt32LE(next, 2 + 12 * tags.length);
  return Buffer.concat([head, ...values]);
}

export const short = (...values: number[]): Value => ({ type: "short", values });
export const long = (...values: number[]): Value => ({ type: "long", values });
export const ascii = (text: string): Value => ({ type: "ascii", text });
export const rational = (...ratios: (readonly [number, number])[]): Value => ({ type: "rational", ratios });

/** A TIFF header, IFD0, and the Exif directory behind tag 0x8769 when given. */
export function exifBlock(ifd0: Entries, exif?: Entries): Buffer {
  const header = Buffer.from("II*\0\x08\0\0\0", "latin1");
  const first = directory(exif ? { ...ifd0, 34665: long(0) } : ifd0, 8);
  if (!exif) return Buffer.concat([header, first]);
  const exifAt = 8 + first.length;
  return Buffer.concat([header, directory({ ...ifd0, 34665: long(exifAt) }, 8), directory(exif, exifAt)]);
}

/** Puts an EXIF block into a JPEG, right after its start. */
export function withExif(jpeg: Buffer, block: Buffer): Buffer {
  const head = Buffer.alloc(10);
  head.writeUInt16BE(0xffe1, 0);
  head.writeUInt16BE(block.length + 8, 2);
  head.write("Exif\0\0", 4, "latin1");
  return Buffer.concat([jpeg.subarray(0, 2), head, block, jpeg.subarray(2)]);
}

/**
 * An uncompressed 16-bit RGGB sensor file of one flat colour with a brighter left top quarter, and an optional
 * JPEG preview appended, as cameras embed theirs.
 */
export function syntheticDng(
  widthPx: number,
  heightPx: number,
  options: { orientation?: number; preview?: Buffer } = {},
): Buffer {
  const sensor = Buffer.alloc(widthPx * heightPx * 2);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const level = x < widthPx / 2 && y < heightPx / 2 ? 40000 : 8000;
      sensor.writeUInt16LE(level, 2 * (y * widthPx + x));
    }
  }
  const entries = (at: number): Entries => ({
    254: long(0),
    256: long(widthPx),
    257: long(heightPx),
    258: short(16),
    259: short(1),
    262: short(32803),
    271: ascii("Invented"),
    272: ascii("Sensor One"),
    273: long(at),
    274: short(options.orientation ?? 1),
    277: short(1),
    278: long(heightPx),
    279: long(sensor.length),
    33421: short(2, 2),
    33422: { type: "byte", bytes: [0, 1, 1, 2] },
    50706: { type: "byte", bytes: [1, 4, 0, 0] },
    50708: ascii("Invented Sensor One"),
    50721: {
      type: "srational",
      ratios: [
        [1, 1],
        [0, 1],
        [0, 1],
        [0, 1],
        [1, 1],
        [0, 1],
        [0, 1],
        [0, 1],
        [1, 1],
      ],
    },
    50728: rational([1, 1], [1, 1], [1, 1]),
    50778: short(21),
  });
  const length = directory(entries(0), 8).length;
  return Buffer.concat([
    Buffer.from("II*\0\x08\0\0\0", "latin1"),
    directory(entries(8 + length), 8),
    sensor,
    options.preview ?? Buffer.alloc(0),
  ]);
}
