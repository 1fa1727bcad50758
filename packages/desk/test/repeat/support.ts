import { join } from "node:path";
import type { TestContext } from "node:test";
import { createPicturePool, type PicturePool } from "@samescale/picture";
import type { Practice } from "@samescale/practice";
import {
  type Camera,
  renderPicture,
  type Scene,
  standardCamera,
  standardScene,
  standardSkin,
  writePicture,
} from "@samescale/simulator";
import {
  addRequest,
  checkVisit,
  type Desk,
  doneOrThrow,
  openVisit,
  placeFrames,
  planOfRequest,
  planRequest,
  readPracticeFolder,
} from "../../src/index.ts";
import { freshDesk, MARA, takeAll, temporaryFolder } from "../support.ts";

/** The demonstration's rules: two bodies, two lenses for close-ups, a wound in series. */
export const demoPractice = (): Promise<Practice> =>
  readPracticeFolder(join(import.meta.dirname, "../../../../apps/cli/demo-practice"));

export const BASELINE_DAY = "2026-03-02";
export const SIZE = { widthPx: 1200, heightPx: 800 } as const;

/** A leg wound; its scale lies elsewhere at every visit. */
function woundScene(visit: number, withScale: boolean): Scene {
  const scale = {
    kind: "l-scale",
    placement: { xMm: -30 + 3 * visit, yMm: -24 - 2 * visit, rotateDeg: -2 * visit },
    legMm: 60,
  } as const;
  return standardScene({
    skin: standardSkin({ tone: 2, seed: 20411, hairs: 1.2, moles: 1.6, vessels: 0.6 }),
    things: [
      {
        kind: "wound",
        id: "wound",
        placement: { xMm: 14, yMm: 9, rotateDeg: 18 },
        seed: 5,
        lengthMm: 42,
        widthMm: 28,
        healed: 0,
      },
      ...(withScale ? [scale] : []),
    ],
  });
}

/** Renders a frame of the wound; the truth beside the file. */
export async function makeFrame(file: string, visit: number, camera: Partial<Camera>, withScale = true) {
  const full = standardCamera({ ...SIZE, ...camera });
  const picture = await renderPicture({
    scene: woundScene(visit, withScale),
    camera: full,
    seed: 11 + visit,
  });
  await writePicture(file, picture, full);
  return picture.truth;
}

export interface Wounded {
  readonly desk: Desk;
  readonly practice: Practice;
  readonly pool: PicturePool;
  readonly requestId: string;
  readonly folder: string;
}

/** A request for a wound in series, planned; no visit yet. */
export async function plannedWound(t: TestContext): Promise<Wounded> {
  const desk = await freshDesk(t);
  const practice = await demoPractice();
  const pool = createPicturePool(1);
  t.after(() => pool.close());
  const request = { code: "R-101", patientId: null, kind: "non-clinical" } as const;
  const requestId = doneOrThrow(await addRequest(desk, MARA, request)).id;
  doneOrThrow(await planRequest(desk, MARA, { requestId, viewSetKey: "leg-wound" }, practice));
  return { desk, practice, pool, requestId, folder: await temporaryFolder(t) };
}

/** A visit with the frames of one card, in the order of their names; `check`: read and judged against the plan. */
export async function addVisit(
  { desk, practice, pool, requestId }: Wounded,
  date: string,
  card: string | null,
  check = true,
): Promise<string> {
  const visitId = doneOrThrow(await openVisit(desk, MARA, { requestId, date })).id;
  if (card === null) return visitId;
  const before = new Set((await frames(desk)).map(({ id }) => id));
  await takeAll(desk, [card], { pictures: pool });
  const frameIds = (await frames(desk)).map(({ id }) => id).filter((id) => !before.has(id));
  doneOrThrow(await placeFrames(desk, MARA, { frameIds, requestId, visitId, because: "a test's card" }));
  const plan = await planOfRequest(desk, MARA, requestId);
  if (check) await checkVisit(desk, MARA, pool, { visitId, plan: plan!, tolerances: practice.tolerances });
  return visitId;
}

const frames = (desk: Desk) => desk.library.read.selectFrom("frame").select("id").execute();
