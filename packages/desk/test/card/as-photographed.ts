import sharp from "sharp";

/** Corners of the page in the photograph, in shares of its width and height: top left, top right, bottom right, bottom left. */
export type Corners = readonly [Corner, Corner, Corner, Corner];
type Corner = readonly [x: number, y: number];

/**
 * A page as a hand-held photograph shows it: seen at an angle on a grey sheet, lit from one side, soft, grainy and
 * saved as JPEG. Written literally: each pixel of the photograph asks where on the page it lies.
 */
export async function asPhotographed(
  page: string,
  corners: Corners,
  { widthPx = 1500, heightPx = 1000, blurPx = 1.2, seed = 7 } = {},
): Promise<Buffer> {
  const { data, info } = await sharp(page).extractChannel(0).raw().toBuffer({ resolveWithObject: true });
  const toPage = homography(
    corners.map(([x, y]) => [x * widthPx, y * heightPx] as const),
    [
      [0, 0],
      [info.width, 0],
      [info.width, info.height],
      [0, info.height],
    ],
  );
  const photo = Buffer.alloc(widthPx * heightPx);
  let state = seed;
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const w = toPage[6]! * x + toPage[7]! * y + 1;
      const u = Math.floor((toPage[0]! * x + toPage[1]! * y + toPage[2]!) / w);
      const v = Math.floor((toPage[3]! * x + toPage[4]! * y + toPage[5]!) / w);
      const inside = u >= 0 && v >= 0 && u < info.width && v < info.height;
      const paper = inside ? 30 + 0.8 * data[v * info.width + u]! : 120;
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      const grain = (state / 2 ** 32 - 0.5) * 14;
      photo[y * widthPx + x] = Math.max(0, Math.min(255, paper * (0.6 + (0.4 * x) / widthPx) + grain));
    }
  }
  return await sharp(photo, { raw: { width: widthPx, height: heightPx, channels: 1 } })
    .blur(blurPx)
    .toColourspace("srgb")
    .jpeg({ quality: 82 })
    .toBuffer();
}

/** The eight numbers that take four points to four others: Gauss on the eight equations. */
function homography(from: readonly Corner[], to: readonly Corner[]): number[] {
  const rows = from.flatMap(([x, y], i) => {
    const [u, v] = to[i]!;
    return [
      [x, y, 1, 0, 0, 0, -u * x, -u * y, u],
      [0, 0, 0, x, y, 1, -v * x, -v * y, v],
    ];
  });
  for (let column = 0; column < 8; column++) {
    const pivot = rows
      .slice(column)
      .reduce((best, row) => (Math.abs(row[column]!) > Math.abs(best[column]!) ? row : best));
    rows.splice(rows.indexOf(pivot), 1);
    rows.splice(column, 0, pivot);
    for (const row of rows) {
      if (row === pivot) continue;
      const factor = row[column]! / pivot[column]!;
      for (let k = column; k < 9; k++) row[k]! -= factor * pivot[k]!;
    }
  }
  return rows.map((row, i) => row[8]! / row[i]!);
}
