import { crc32, deflateSync } from "node:zlib";
import {
  adaptation,
  inverse,
  type Matrix33,
  multiply,
  product,
  type Triple,
  WHITE_D50,
  WHITE_D65,
} from "../../src/colour/space.ts";

/**
 * A small ICC profile of three primaries and one gamma, for pictures in a wider space than sRGB.
 * @param primaries xy of red, green, blue against D65
 */
export function matrixProfile(
  name: string,
  primaries: readonly (readonly [x: number, y: number])[],
  gamma: number,
): Buffer {
  const columns = primaries.map(([x, y]): Triple => [x / y, 1, (1 - x - y) / y]);
  const row = (c: 0 | 1 | 2): Triple => [columns[0]![c], columns[1]![c], columns[2]![c]];
  const bare: Matrix33 = [row(0), row(1), row(2)];
  const strength = multiply(inverse(bare), WHITE_D65);
  const scaled = (r: Triple): Triple => [r[0] * strength[0], r[1] * strength[1], r[2] * strength[2]];
  const toD50 = product(adaptation(WHITE_D65, WHITE_D50), [
    scaled(bare[0]),
    scaled(bare[1]),
    scaled(bare[2]),
  ]);
  const colorant = (c: 0 | 1 | 2) => xyz([toD50[0][c], toD50[1][c], toD50[2][c]]);
  const curve = Buffer.alloc(16);
  curve.write("curv", 0);
  curve.writeUInt32BE(1, 8);
  curve.writeUInt16BE(Math.round(gamma * 256), 12);
  const tags: readonly (readonly [string, Buffer])[] = [
    ["desc", description(name)],
    ["cprt", text("no rights reserved")],
    ["wtpt", xyz(WHITE_D50)],
    ["rXYZ", colorant(0)],
    ["gXYZ", colorant(1)],
    ["bXYZ", colorant(2)],
    ["rTRC", curve],
    ["gTRC", curve],
    ["bTRC", curve],
  ];
  const table = Buffer.alloc(4 + 12 * tags.length);
  table.writeUInt32BE(tags.length);
  let at = 128 + table.length;
  for (const [i, [signature, data]] of tags.entries()) {
    table.write(signature, 4 + 12 * i);
    table.writeUInt32BE(at, 8 + 12 * i);
    table.writeUInt32BE(data.length, 12 + 12 * i);
    at += data.length;
  }
  const header = Buffer.alloc(128);
  header.writeUInt32BE(at, 0);
  header.writeUInt32BE(0x02400000, 8);
  header.write("mntrRGB XYZ ", 12);
  header.write("acsp", 36);
  xyz(WHITE_D50).copy(header, 68, 8);
  return Buffer.concat([header, table, ...tags.map(([, data]) => data)]);
}

function xyz(values: readonly number[]): Buffer {
  const data = Buffer.alloc(20);
  data.write("XYZ ", 0);
  for (const [i, v] of values.entries()) data.writeInt32BE(Math.round(v * 65536), 8 + 4 * i);
  return data;
}

function text(words: string): Buffer {
  const data = Buffer.alloc(4 * Math.ceil((8 + words.length + 1) / 4));
  data.write("text", 0);
  data.write(words, 8);
  return data;
}

/** `desc` of version 2: the words, then empty Unicode and script parts. */
function description(words: string): Buffer {
  const data = Buffer.alloc(4 * Math.ceil((12 + words.length + 1 + 8 + 70) / 4));
  data.write("desc", 0);
  data.writeUInt32BE(words.length + 1, 8);
  data.write(words, 12);
  return data;
}

/** A PNG that says its values are in this profile; they stay as they are. Chunk iCCP of ISO/IEC 15948. */
export function pngInProfile(png: Buffer, profile: Buffer): Buffer {
  const AFTER_IHDR = 33;
  const body = Buffer.concat([Buffer.from("iCCPwide\0\0", "latin1"), deflateSync(profile)]);
  const chunk = Buffer.alloc(body.length + 8);
  chunk.writeUInt32BE(body.length - 4);
  body.copy(chunk, 4);
  chunk.writeUInt32BE(crc32(body), body.length + 4);
  return Buffer.concat([png.subarray(0, AFTER_IHDR), chunk, png.subarray(AFTER_IHDR)]);
}
