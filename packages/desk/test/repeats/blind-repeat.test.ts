import assert from "node:assert/strict";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import type { MeasureAnswer, OutlineAnswer, PicturePool, ScaleFound, XY } from "@samescale/picture";
import {
  type Actor,
  departmentRepeats,
  doneOrThrow,
  measureFrame,
  openDesk,
  outlineAgain,
  pictureToRepeat,
  storeReading,
} from "../../src/index.ts";
import { lookedAt } from "../../src/look/frames-of-visit.ts";
import { MORNING } from "../intake/morning.ts";
import { addTwoRequests, MARA, makeCard, NOON, takeAll, temporaryFolder } from "../support.ts";

const TOM: Actor = { name: "tom", role: "photographer" };
const DAY_MS = 86_400_000;

/** Outlines a square round the click, as far out as the click lies right of the middle; measures 1 mm per 10 px. */
const pool: PicturePool = {
  threads: 1,
  run: (async (task: string, input: { file: string; inside: XY[]; outline: OutlineAnswer["regions"] }) => {
    const recipe = { step: task, version: 1, parameters: {} };
    if (task === "outline") {
      const [[x, y]] = input.inside as [XY];
      const r = 100 + (x - 500);
      const outline: XY[] = [
        [x - r, y - r],
        [x + r, y - r],
        [x + r, y + r],
        [x - r, y + r],
      ];
      return { file: input.file, regions: [{ outline, holes: [] }], recipe } satisfies OutlineAnswer;
    }
    const [[left], [right]] = input.outline[0]!.outline as [XY, XY];
    const side = (right - left) / 10;
    const exact = (value: number) => ({ value, u95: 0.1 * value });
    const region = { areaMm2: exact(side * side), perimeterMm: exact(4 * side) };
    return { file: input.file, regions: [region], method: "plane", recipe } as unknown as MeasureAnswer;
  }) as unknown as PicturePool["run"],
  close: async () => {},
};

const scale = { found: true, widthPx: 6000, heightPx: 4000, warnings: [] } as unknown as ScaleFound;

/** A morning's pictures, each with a reading, on a desk whose day can be moved. */
async function morning(t: TestContext) {
  let now = NOON;
  const folder = await temporaryFolder(t);
  const desk = await openDesk(join(folder, "library"), { clock: () => now });
  t.after(() => desk.close());
  await addTwoRequests(desk);
  await takeAll(desk, [await makeCard(join(folder, "card"), MORNING)]);
  const rows = await desk.library.read
    .selectFrom("frame")
    .select("id")
    .where("kind", "=", "picture")
    .where("request_id", "is not", null)
    .execute();
  const frames = [];
  for (const { id } of rows) {
    const frame = (await lookedAt(desk, MARA, id))!;
    const { sha256: readingSha256 } = doneOrThrow(
      await storeReading(desk, MARA, {
        frameId: id,
        recipe: { step: "scale", version: 2, parameters: {} },
        inputs: [frame.sha256],
        body: { ...scale, of: id },
      }),
    );
    frames.push({ frame, scale, readingSha256 });
  }
  const later = (days: number): void => {
    now = new Date(now.getTime() + days * DAY_MS);
  };
  return { desk, frames, later };
}

const click = (offPx: number) => ({ inside: [[500 + offPx, 400]] as XY[], outside: [] });

test("a picture comes back without its outline, to others at once, to who outlined it after a week", async (t) => {
  const { desk, frames, later } = await morning(t);
  const random = seededRandom(4);
  assert.match(JSON.stringify(await pictureToRepeat(desk, MARA, random)), /No picture was outlined/);
  for (const work of frames) doneOrThrow(await measureFrame(desk, MARA, pool, { ...work, clicks: click(0) }));
  assert.match(
    JSON.stringify(await pictureToRepeat(desk, MARA, random)),
    /come back when you have forgotten/,
  );
  const forTom = doneOrThrow(await pictureToRepeat(desk, TOM, random));
  assert.deepEqual(Object.keys(forTom).sort(), ["frame", "readingSha256", "scale"]);
  assert.doesNotMatch(JSON.stringify(forTom), /outline|inside|areaMm2/);
  const notForHer = await pictureToRepeat(desk, { name: "vera", role: "viewer" }, random);
  assert.match(JSON.stringify(notForHer), /not for the role viewer/);
  later(7);
  const forMara = doneOrThrow(await pictureToRepeat(desk, MARA, random));
  doneOrThrow(await outlineAgain(desk, MARA, pool, { ...forMara, clicks: click(1) }));
  const next = doneOrThrow(await pictureToRepeat(desk, MARA, random));
  assert.notEqual(next.frame.frameId, forMara.frame.frameId, "the one repeated least comes first");
});

test("repeats become the department's own figure once there are enough of them", async (t) => {
  const { desk, frames, later } = await morning(t);
  const outline = async (actor: Actor, offPx: number) => {
    for (const work of frames)
      doneOrThrow(await outlineAgain(desk, actor, pool, { ...work, clicks: click(offPx) }));
  };
  assert.equal(await departmentRepeats(desk), null);
  for (const offPx of [0, 2, 1, 3]) {
    await outline(MARA, offPx);
    later(7);
  }
  await outline(TOM, 6);
  const own = await departmentRepeats(desk);
  assert.ok(own);
  assert.deepEqual([own.persons, own.things, own.outlines], [2, frames.length, 5 * frames.length]);
  // Squares of 20 mm and 0, 0.4, 0.2, 0.6 mm more: areas over the mean perimeter spread by 0.13 mm within MARA.
  const areas = [0, 0.4, 0.2, 0.6].map((more) => (20 + more) ** 2);
  const all = [...areas, 21.2 ** 2];
  const perimeter = (4 * (20 + 20.4 + 20.2 + 20.6 + 21.2)) / 5;
  const mean = areas.reduce((sum, a) => sum + a, 0) / 4;
  const within = areas.reduce((sum, a) => sum + (a - mean) ** 2, 0) / 3;
  const between = (mean - all[4]!) ** 2 / 2 - (within / 4 + within) / 2;
  assert.ok(Math.abs(own.edgeUMm - Math.sqrt(within + between) / perimeter) < 1e-9);
});
