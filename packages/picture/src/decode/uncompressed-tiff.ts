/**
 * Wraps decoded 8-bit pixels and their colour profile as an uncompressed TIFF in memory, so that pictures from
 * every decoder take the same road through profile conversion and reduction.
 * @source Tiff6, sections 2 and 6; IccProfile, annex B (tag 34675)
 */
export function uncompressedTiff(picture: {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly channels: 3 | 4;
  readonly pixels: Uint8Array;
  readonly profile?: Uint8Array | undefined;
}): Buffer {
  const { widthPx, heightPx, channels, pixels, profile } = picture;
  const SHORT = 3;
  const LONG = 4;
  const UNDEFINED = 7;
  const entryCount = 10 + (channels === 4 ? 1 : 0) + (profile ? 1 : 0);
  const bitsAt = 8 + 2 + 12 * entryCount + 4;
  const profileAt = bitsAt + 8;
  const profileBytes = profile ? profile.length + (profile.length % 2) : 0;
  const pixelsAt = profileAt + profileBytes;
  const out = Buffer.allocUnsafe(pixelsAt + pixels.length);
  out.fill(0, 0, pixelsAt);
  out.write("II*\0", 0, "latin1");
  out.writeUInt32LE(8, 4);
  out.writeUInt16LE(entryCount, 8);
  let at = 10;
  const entry = (tag: number, type: number, count: number, value: number) => {
    out.writeUInt16LE(tag, at);
    out.writeUInt16LE(type, at + 2);
    out.writeUInt32LE(count, at + 4);
    if (type === SHORT && count === 1) out.writeUInt16LE(value, at + 8);
    else out.writeUInt32LE(value, at + 8);
    at += 12;
  };
  entry(256, LONG, 1, widthPx);
  entry(257, LONG, 1, heightPx);
  entry(258, SHORT, channels, bitsAt);
  entry(259, SHORT, 1, 1);
  entry(262, SHORT, 1, 2);
  entry(273, LONG, 1, pixelsAt);
  entry(277, SHORT, 1, channels);
  entry(278, LONG, 1, heightPx);
  entry(279, LONG, 1, pixels.length);
  entry(284, SHORT, 1, 1);
  if (channels === 4) entry(338, SHORT, 1, 2);
  if (profile) entry(34675, UNDEFINED, profile.length, profileAt);
  for (let i = 0; i < 4; i++) out.writeUInt16LE(8, bitsAt + 2 * i);
  if (profile) out.set(profile, profileAt);
  out.set(pixels, pixelsAt);
  return out;
}
