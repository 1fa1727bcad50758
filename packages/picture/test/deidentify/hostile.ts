import { execFileSync } from "node:child_process";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { crc32, deflateSync } from "node:zlib";
import sharp from "sharp";

/** What must not be found in anything that leaves, in any coding. */
export const SECRET = "Zacharias-Quill-HN4711";

const picture = (width = 400, height = 300) =>
  sharp({ create: { width, height, channels: 3, background: "#b8806a" } }).composite([
    {
      input: Buffer.from(
        `<svg width="${width}" height="${height}"><circle cx="120" cy="110" r="60" fill="#7a2c22"/></svg>`,
      ),
    },
  ]);

/** One file for each place in which a name can hide. Needs exiftool. */
export async function hostileFiles(folder: string): Promise<readonly string[]> {
  const jpeg = await picture().jpeg().toBuffer();
  const png = await picture().png().toBuffer();
  const files: [string, Buffer][] = [
    ["trailing-zip.jpg", Buffer.concat([jpeg, Buffer.from(`PK\x03\x04${SECRET}`)])],
    ["second-picture.jpg", Buffer.concat([jpeg, await withComment(jpeg)])],
    ["previews.jpg", multiPicture(jpeg, await withComment(jpeg))],
    ["unknown-segments.jpg", withSegments(jpeg, [0xe4, 0xe5, 0xe9, 0xef])],
    ["script.jpg", withSegments(jpeg, [0xfe], `<script>/*${SECRET}*/</script>`)],
    ["profile.jpg", await withProfileText(jpeg)],
    ["text.png", withChunks(png)],
    ["trailing.png", Buffer.concat([png, Buffer.from(SECRET)])],
    ["long.tif", await picture().tiff().toBuffer()],
    ["plain.webp", await picture().webp().toBuffer()],
    ["turned.jpg", await picture().withMetadata({ orientation: 6 }).jpeg().toBuffer()],
    ["everything.jpg", jpeg],
  ];
  const paths: string[] = [];
  for (const [name, bytes] of files) {
    const path = join(folder, name);
    await writeFile(path, bytes);
    paths.push(path);
  }
  const tagged = paths.filter((path) => /(everything|turned)\.jpg$|long\.tif$|plain\.webp$/.test(path));
  execFileSync("exiftool", ["-q", "-q", "-overwrite_original", ...TAGS, ...tagged], { stdio: "ignore" });
  const preview = join(folder, "preview.jpg");
  await writeFile(preview, await withComment(await picture(80, 60).jpeg().toBuffer()));
  execFileSync("exiftool", [
    "-q",
    "-overwrite_original",
    `-ThumbnailImage<=${preview}`,
    join(folder, "everything.jpg"),
  ]);
  return paths;
}

const TAGS = [
  "-GPSLatitude=51.5",
  "-GPSLatitudeRef=N",
  "-GPSLongitude=0.1",
  "-GPSLongitudeRef=W",
  `-GPSAreaInformation=${SECRET}`,
  `-SerialNumber=${SECRET}`,
  `-LensSerialNumber=${SECRET}`,
  `-OwnerName=${SECRET}`,
  `-Artist=${SECRET}`,
  `-Copyright=${SECRET}`,
  `-ImageDescription=${SECRET}`,
  `-UserComment=${SECRET}`,
  `-Make=${SECRET}`,
  `-Model=${SECRET}`,
  `-ImageUniqueID=${SECRET}`,
  "-DateTimeOriginal=2026:03:15 09:30:00",
  "-CreateDate=2026:03:15 09:30:00",
  `-XMP-dc:Creator=${SECRET}`,
  `-XMP-dc:Title=${SECRET}`,
  `-XMP-xmpMM:DocumentID=${SECRET}`,
  `-XMP-dc:Subject=${SECRET}`,
  `-IPTC:Caption-Abstract=${SECRET}`,
  `-IPTC:By-line=${SECRET}`,
  `-Comment=${SECRET}`,
  `-Photoshop:URL=${SECRET}`,
];

const segment = (marker: number, payload: Buffer) => {
  const head = Buffer.from([0xff, marker, 0, 0]);
  head.writeUInt16BE(payload.length + 2, 2);
  return Buffer.concat([head, payload]);
};

/** Behind the start of the image. */
const withSegments = (jpeg: Buffer, markers: readonly number[], text = SECRET) =>
  Buffer.concat([
    jpeg.subarray(0, 2),
    ...markers.map((marker) => segment(marker, Buffer.from(text))),
    jpeg.subarray(2),
  ]);

const withComment = async (jpeg: Buffer) => withSegments(jpeg, [0xfe]);

/** A second picture behind the first, announced as CIPA DC-007 does it. */
function multiPicture(jpeg: Buffer, second: Buffer): Buffer {
  const index = Buffer.alloc(4 + 82);
  index.write("MPF\0", 0, "latin1");
  index.write("MM\0*", 4, "latin1");
  index.writeUInt32BE(8, 8);
  const at = 12;
  index.writeUInt16BE(3, at);
  const entry = (i: number, tag: number, type: number, count: number, value: number) => {
    const to = at + 2 + 12 * i;
    index.writeUInt16BE(tag, to);
    index.writeUInt16BE(type, to + 2);
    index.writeUInt32BE(count, to + 4);
    index.writeUInt32BE(value, to + 8);
  };
  entry(0, 0xb000, 7, 4, 0x30313030);
  entry(1, 0xb001, 4, 1, 2);
  entry(2, 0xb002, 7, 32, 50);
  const entries = 4 + 50;
  index.writeUInt32BE(0x030000, entries);
  index.writeUInt32BE(jpeg.length + index.length + 4, entries + 4);
  index.writeUInt32BE(0x010001, entries + 16);
  index.writeUInt32BE(second.length, entries + 20);
  index.writeUInt32BE(jpeg.length + 4 + index.length - 10, entries + 24);
  const first = Buffer.concat([jpeg.subarray(0, 2), segment(0xe2, index), jpeg.subarray(2)]);
  return Buffer.concat([first, second]);
}

/** A profile whose description is a name. */
async function withProfileText(jpeg: Buffer): Promise<Buffer> {
  const profiled = await sharp(jpeg).withIccProfile("p3").jpeg().toBuffer();
  const at = profiled.indexOf("desc", profiled.indexOf("ICC_PROFILE") + 200);
  const text = Buffer.from(SECRET, "latin1");
  const copy = Buffer.from(profiled);
  text.copy(copy, at + 12, 0, Math.min(text.length, 22));
  return copy;
}

/** Text chunks of PNG, plain and compressed, and Exif. */
function withChunks(png: Buffer): Buffer {
  const chunk = (type: string, data: Buffer) => {
    const body = Buffer.concat([Buffer.from(type, "latin1"), data]);
    const head = Buffer.alloc(4);
    head.writeUInt32BE(data.length);
    const check = Buffer.alloc(4);
    check.writeUInt32BE(crc32(body));
    return Buffer.concat([head, body, check]);
  };
  const headEnd = 8 + 25;
  return Buffer.concat([
    png.subarray(0, headEnd),
    chunk("tEXt", Buffer.from(`Author\0${SECRET}`)),
    chunk("zTXt", Buffer.concat([Buffer.from("Comment\0\0"), deflateSync(SECRET)])),
    chunk("iTXt", Buffer.from(`XML:com.adobe.xmp\0\0\0\0\0<x>${SECRET}</x>`)),
    png.subarray(headEnd),
  ]);
}

export async function holdsSecret(bytes: Uint8Array): Promise<boolean> {
  const all = Buffer.from(bytes);
  return [Buffer.from(SECRET), Buffer.from(SECRET, "utf16le"), Buffer.from(SECRET, "utf16le").swap16()].some(
    (secret) => all.includes(secret.subarray(0, 20)),
  );
}

export const sourceHoldsSecret = async (path: string) => holdsSecret(await readFile(path));
