import { createHash } from "node:crypto";
import { mkdir, readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import type { TestContext } from "node:test";
import type { PicturePool } from "@samescale/picture";
import type { ConsentScope } from "@samescale/practice";
import sharp from "sharp";
import {
  confirmMask,
  type Desk,
  doneOrThrow,
  MASK_QUESTIONS,
  picturesForm,
  proposeMask,
  type ReleaseWanted,
  releaseOut,
} from "../../src/index.ts";
import { type ClockedDesk, clockedDesk, give, type Job, jobOf } from "../consent/support.ts";
import { MARA, temporaryFolder } from "../support.ts";
import { inThisThread } from "./in-this-thread.ts";

/** Skin with something red on it; each of its own colour, so that each is an original of its own. */
export async function photograph(i: number, width = 240, height = 160): Promise<Buffer> {
  const spot = `<svg width="${width}" height="${height}"><circle cx="${60 + 10 * i}" cy="80" r="30" fill="#7a2c22"/></svg>`;
  return sharp({ create: { width, height, channels: 3, background: { r: 184, g: 128 + i, b: 106 } } })
    .composite([{ input: Buffer.from(spot) }])
    .jpeg({ quality: 95 })
    .toBuffer();
}

export interface Photographed extends ClockedDesk, Job {
  readonly pool: PicturePool;
  readonly released: string;
  readonly folder: string;
}

/** A job whose frames have real camera files, and a place for what leaves. */
export async function photographed(t: TestContext, pictures = 2): Promise<Photographed> {
  const clocked = await clockedDesk(t);
  const { desk } = clocked;
  const job = await jobOf(desk, { pictures });
  for (const [i, frameId] of job.frames.entries())
    await keepPicture(desk, frameId, await photograph(i), `IMG_${i + 1}.JPG`);
  const folder = await temporaryFolder(t);
  return { ...clocked, ...job, pool: inThisThread, folder, released: join(folder, "released") };
}

export async function keepPicture(
  desk: Desk,
  frameId: string,
  bytes: Buffer,
  name: string,
  format = "jpeg",
): Promise<string> {
  const put = await desk.library.originals.put({
    name,
    read: async function* () {
      yield bytes;
    },
  });
  if (put.state === "unreadable") throw put.error;
  await desk.library.write("photographer:mara", async ({ insert }) => {
    await insert("file", {
      sha256: put.sha256,
      bytes: put.bytes,
      format,
      name,
      frame_id: frameId,
      info: JSON.stringify({
        make: "Invented",
        model: "Body 1",
        lens: null,
        focalMm: 60,
        fNumber: 11,
        exposureS: 0.008,
        iso: 200,
        sensorWidthMm: null,
      }),
      stored_at: "2026-03-15T09:00:00.000Z",
      kind: null,
    });
    return { value: null, deed: { act: "test.file", subject: `file/${put.sha256}` } };
  });
  return put.sha256;
}

export const NOTHING_THERE = Object.fromEntries(
  Object.keys(MASK_QUESTIONS).map((kind) => [kind, "not-there"]),
);

/** Looks and confirms; what was proposed is left to be seen. */
export async function confirm(
  { desk, pool }: Pick<Photographed, "desk" | "pool">,
  frameId: string,
  more: Partial<Parameters<typeof confirmMask>[2]> = {},
) {
  const seen = doneOrThrow(await proposeMask(desk, MARA, pool, frameId));
  return confirmMask(desk, MARA, {
    frameId,
    proposals: seen.sha256,
    proposed: seen.proposals.areas.map(() => "leave"),
    areas: [],
    answers: NOTHING_THERE,
    ...more,
  });
}

export const wantedOf = (job: Job, fields: Partial<ReleaseWanted> = {}): ReleaseWanted => ({
  requestId: job.requestId,
  frames: job.frames,
  scope: "requester",
  to: "Dr Example",
  purpose: "the wound's course",
  ...fields,
});

export const release = (
  job: Photographed,
  fields: Partial<ReleaseWanted> = {},
  form = picturesForm,
  actor = MARA,
) =>
  releaseOut(job.desk, actor, wantedOf(job, fields), { pool: job.pool, form, releasedFolder: job.released });

export const allow = (job: Photographed, scope: ConsentScope, more: object = {}) =>
  give(job.desk, { of: { requestId: job.requestId }, scope, ...more });

/** Every file below a folder, by its path. */
export async function treeOf(folder: string): Promise<Map<string, Buffer>> {
  const files = new Map<string, Buffer>();
  await mkdir(folder, { recursive: true });
  for (const entry of await readdir(folder, { withFileTypes: true, recursive: true })) {
    if (!entry.isFile()) continue;
    const path = join(entry.parentPath, entry.name);
    files.set(path.slice(folder.length + 1), await readFile(path));
  }
  return files;
}

export const sha256Of = (bytes: Uint8Array) => createHash("sha256").update(bytes).digest("hex");
