import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parentPort } from "node:worker_threads";
import { type WatchLine, watchFolder } from "../../packages/desk/src/bedside/watch-folder.ts";
import type { WatchedView } from "../../packages/desk/src/bedside/watched-view.ts";
import { practiceFolderFor, readPracticeFolder } from "../../packages/desk/src/practice/practice-folder.ts";
import { objectDistanceMm } from "../../packages/optics/src/index.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { createPicturePool } from "../../packages/picture/src/index.ts";
import { encodePicture, renderPicture } from "../../packages/simulator/src/index.ts";
import type { Planted } from "./planted.ts";
import { type FrameShot, type Session, sessionOf } from "./session.ts";

/** How one frame of a session was judged. */
export interface Row {
  readonly seed: number;
  readonly kind: Session["kind"];
  readonly series: boolean;
  readonly planted: Planted;
  readonly verdict: string;
  readonly say: string;
  readonly findings: readonly string[];
  readonly notJudged: readonly string[];
}

const pool = createPicturePool(1);
const practice = await readPracticeFolder(await practiceFolderFor(undefined, null));

parentPort?.on("message", async (seed: number) => {
  parentPort?.postMessage(await rowsOf(seed));
});

/** Renders the session into a folder and has it watched, as it would be at the bedside. */
async function rowsOf(seed: number): Promise<Row[]> {
  const session = sessionOf(seed);
  const folder = await mkdtemp(join(tmpdir(), "samescale-session-"));
  const aside = await mkdtemp(join(tmpdir(), "samescale-baseline-"));
  try {
    const planted = new Map<string, Planted>();
    for (const [n, shot] of session.frames.entries()) {
      const name = `F${String(n).padStart(4, "0")}.JPG`;
      await writeFile(join(folder, name), await jpegOf(shot));
      planted.set(name, shot.planted);
    }
    const view = viewOf(session);
    const baselines = new Map();
    if (session.baseline) {
      const file = join(aside, "baseline.jpg");
      await writeFile(file, await jpegOf(session.baseline));
      const seen = await pool.run("bedside", { file });
      baselines.set(view.view.key, { file, date: null, scale: seen.scale, look: seen.look });
    }
    const rows: Row[] = [];
    const plan = {
      requestCode: null,
      views: [view],
      series: session.series,
      tolerances: practice.tolerances,
      baselines,
      calibrations: [],
      sensor: {},
    };
    for await (const line of watchFolder(folder, pool, plan, { once: true })) {
      rows.push(rowOf(seed, session, planted, line));
    }
    return rows;
  } finally {
    await rm(folder, { recursive: true });
    await rm(aside, { recursive: true });
  }
}

async function jpegOf(shot: FrameShot): Promise<Buffer> {
  const picture = await renderPicture(shot);
  const jpeg = await encodePicture(picture, shot.camera);
  return shot.flipped ? await sharp(jpeg).flop().keepMetadata().jpeg({ quality: 92 }).toBuffer() : jpeg;
}

function viewOf(session: Session): WatchedView {
  const { magnification, focalMm, scale, orientation, bordersCrossed } = session;
  return {
    magnification,
    focalMm,
    objectDistanceMm: objectDistanceMm(focalMm, magnification),
    view: {
      key: "view",
      name: "View",
      lens: "clinical",
      scale,
      orientation,
      mirrored: false,
      chart: "none",
      ...(bordersCrossed !== null && { bordersCrossed }),
    },
  };
}

function rowOf(
  seed: number,
  { kind, series }: Session,
  planted: ReadonlyMap<string, Planted>,
  line: WatchLine,
): Row {
  const name = "file" in line ? line.file.slice(line.file.lastIndexOf("/") + 1) : "";
  const base = { seed, kind, series, planted: planted.get(name) ?? ("nothing" as const) };
  if (!("verdict" in line)) {
    const say = "error" in line ? line.error.message : "not looked at";
    return { ...base, verdict: "error", say, findings: [], notJudged: [] };
  }
  return {
    ...base,
    verdict: line.verdict,
    say: line.say,
    findings: line.findings.map(({ what }) => what),
    notJudged: line.notJudged,
  };
}
