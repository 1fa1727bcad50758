import { inflateSync } from "node:zlib";
import { SamescaleError } from "@samescale/errors";

/** The tables of an OpenType font kept as WOFF 1, unpacked. @source WOFF1 */
export function tablesOfWoff(file: Buffer): ReadonlyMap<string, Buffer> {
  if (file.toString("latin1", 0, 4) !== "wOFF") {
    throw new SamescaleError(
      "SIM_FONT",
      "The shipped font is not a WOFF file",
      "Install the packages again.",
    );
  }
  const tables = new Map<string, Buffer>();
  const count = file.readUInt16BE(12);
  for (let i = 0; i < count; i++) {
    const entry = 44 + i * 20;
    const offset = file.readUInt32BE(entry + 4);
    const packed = file.readUInt32BE(entry + 8);
    const length = file.readUInt32BE(entry + 12);
    const data = file.subarray(offset, offset + packed);
    tables.set(file.toString("latin1", entry, entry + 4), packed < length ? inflateSync(data) : data);
  }
  return tables;
}
