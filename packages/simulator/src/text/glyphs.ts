import { SamescaleError } from "@samescale/errors";

/** One glyph's outline in font units, y up, and its advance. Contours are polygons; curves are already cut. */
export interface Glyph {
  readonly contours: readonly Float64Array[];
  readonly advance: number;
}

/** TrueType outlines of a font. @source OpenType (tables head, hhea, hmtx, loca, glyf, cmap) */
export interface Outlines {
  readonly unitsPerEm: number;
  readonly capHeight: number;
  glyph(codePoint: number): Glyph;
}

const CURVE_PIECES = 6;

export function outlinesOf(tables: ReadonlyMap<string, Buffer>): Outlines {
  const table = (name: string): Buffer => {
    const found = tables.get(name);
    if (!found) {
      throw new SamescaleError(
        "SIM_FONT",
        `The shipped font has no ${name} table`,
        "Install the packages again.",
      );
    }
    return found;
  };
  const head = table("head");
  const hmtx = table("hmtx");
  const loca = table("loca");
  const glyf = table("glyf");
  const wide = head.readInt16BE(50) === 1;
  const metrics = table("hhea").readUInt16BE(34);
  const idOf = characterMap(table("cmap"));
  const start = (id: number): number => (wide ? loca.readUInt32BE(id * 4) : loca.readUInt16BE(id * 2) * 2);
  const cache = new Map<number, Glyph>();

  const contoursOf = (id: number, depth = 0): Float64Array[] => {
    const from = start(id);
    if (from === start(id + 1) || depth > 4) return [];
    const count = glyf.readInt16BE(from);
    if (count >= 0) return simpleContours(glyf, from, count);
    return compositeParts(glyf, from).flatMap((part) =>
      contoursOf(part.id, depth + 1).map((contour) => transformed(contour, part.matrix)),
    );
  };

  const os2 = table("OS/2");
  return {
    unitsPerEm: head.readUInt16BE(18),
    capHeight: os2.readUInt16BE(0) >= 2 ? os2.readInt16BE(88) : 700,
    glyph(codePoint) {
      const known = cache.get(codePoint);
      if (known) return known;
      const id = idOf(codePoint);
      const advance = hmtx.readUInt16BE(Math.min(id, metrics - 1) * 4);
      const glyph = { contours: contoursOf(id), advance };
      cache.set(codePoint, glyph);
      return glyph;
    },
  };
}

/** Format 4: the basic plane, which holds everything that is ever drawn here. */
function characterMap(cmap: Buffer): (codePoint: number) => number {
  const count = cmap.readUInt16BE(2);
  for (let i = 0; i < count; i++) {
    const at = cmap.readUInt32BE(4 + i * 8 + 4);
    if (cmap.readUInt16BE(at) !== 4) continue;
    const double = cmap.readUInt16BE(at + 6);
    const [ends, starts] = [at + 14, at + 16 + double];
    const [deltas, ranges] = [starts + double, starts + 2 * double];
    return (code) => {
      for (let k = 0; k < double; k += 2) {
        if (code > cmap.readUInt16BE(ends + k)) continue;
        const first = cmap.readUInt16BE(starts + k);
        if (code < first) return 0;
        const delta = cmap.readInt16BE(deltas + k);
        const range = cmap.readUInt16BE(ranges + k);
        if (range === 0) return (code + delta) & 0xffff;
        const id = cmap.readUInt16BE(ranges + k + range + (code - first) * 2);
        return id === 0 ? 0 : (id + delta) & 0xffff;
      }
      return 0;
    };
  }
  throw new SamescaleError(
    "SIM_FONT",
    "The shipped font has no format 4 character map",
    "Install the packages again.",
  );
}

function simpleContours(glyf: Buffer, from: number, count: number): Float64Array[] {
  const ends: number[] = [];
  for (let i = 0; i < count; i++) ends.push(glyf.readUInt16BE(from + 10 + i * 2));
  const points = (ends.at(-1) ?? -1) + 1;
  let at = from + 10 + count * 2;
  at += 2 + glyf.readUInt16BE(at);
  const flags: number[] = [];
  while (flags.length < points) {
    const flag = glyf[at++]!;
    flags.push(flag);
    if (flag & 8) for (let repeat = glyf[at++]!; repeat > 0; repeat--) flags.push(flag);
  }
  const readAxis = (short: number, same: number): number[] => {
    let value = 0;
    return flags.map((flag) => {
      if (flag & short) value += flag & same ? glyf[at++]! : -glyf[at++]!;
      else if (!(flag & same)) {
        value += glyf.readInt16BE(at);
        at += 2;
      }
      return value;
    });
  };
  const xs = readAxis(2, 16);
  const ys = readAxis(4, 32);
  let first = 0;
  return ends.map((end) => {
    const contour = flattened(flags, xs, ys, first, end);
    first = end + 1;
    return contour;
  });
}

/** Cuts the quadratic curves of one contour; two off-curve points in a row imply an on-curve point between them. */
function flattened(flags: number[], xs: number[], ys: number[], first: number, last: number): Float64Array {
  const n = last - first + 1;
  const on = (i: number): boolean => (flags[first + (i % n)]! & 1) === 1;
  const px = (i: number): number => xs[first + (i % n)]!;
  const py = (i: number): number => ys[first + (i % n)]!;
  const begin = on(0) ? 0 : on(1) ? 1 : -1;
  let x = begin < 0 ? (px(0) + px(n - 1)) / 2 : px(begin);
  let y = begin < 0 ? (py(0) + py(n - 1)) / 2 : py(begin);
  const out: number[] = [x, y];
  const offset = begin < 0 ? 0 : begin + 1;
  for (let k = 0; k < n; k++) {
    const i = offset + k;
    if (on(i)) {
      x = px(i);
      y = py(i);
      out.push(x, y);
      continue;
    }
    const nx = on(i + 1) ? px(i + 1) : (px(i) + px(i + 1)) / 2;
    const ny = on(i + 1) ? py(i + 1) : (py(i) + py(i + 1)) / 2;
    for (let s = 1; s <= CURVE_PIECES; s++) {
      const t = s / CURVE_PIECES;
      const u = 1 - t;
      out.push(u * u * x + 2 * u * t * px(i) + t * t * nx, u * u * y + 2 * u * t * py(i) + t * t * ny);
    }
    x = nx;
    y = ny;
  }
  return Float64Array.from(out);
}

type Affine = readonly [xx: number, yx: number, xy: number, yy: number, dx: number, dy: number];

function compositeParts(glyf: Buffer, from: number): { id: number; matrix: Affine }[] {
  const parts: { id: number; matrix: Affine }[] = [];
  let at = from + 10;
  for (;;) {
    const flags = glyf.readUInt16BE(at);
    const id = glyf.readUInt16BE(at + 2);
    at += 4;
    const words = (flags & 1) !== 0;
    const dx = words ? glyf.readInt16BE(at) : glyf.readInt8(at);
    const dy = words ? glyf.readInt16BE(at + 2) : glyf.readInt8(at + 1);
    at += words ? 4 : 2;
    const f2 = (): number => {
      at += 2;
      return glyf.readInt16BE(at - 2) / 16384;
    };
    let m: [number, number, number, number] = [1, 0, 0, 1];
    if (flags & 8) {
      const s = f2();
      m = [s, 0, 0, s];
    } else if (flags & 0x40) m = [f2(), 0, 0, f2()];
    else if (flags & 0x80) m = [f2(), f2(), f2(), f2()];
    parts.push({ id, matrix: [...m, dx, dy] });
    if (!(flags & 0x20)) return parts;
  }
}

function transformed(contour: Float64Array, [xx, yx, xy, yy, dx, dy]: Affine): Float64Array {
  const out = new Float64Array(contour.length);
  for (let i = 0; i < contour.length; i += 2) {
    out[i] = xx * contour[i]! + xy * contour[i + 1]! + dx;
    out[i + 1] = yx * contour[i]! + yy * contour[i + 1]! + dy;
  }
  return out;
}
