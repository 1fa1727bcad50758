import { mkdir, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Desk, takeIn } from "@samescale/desk";
import { createPicturePool } from "@samescale/picture";
import {
  renderPicture,
  standardCamera,
  standardScene,
  standardSkin,
  writePicture,
} from "@samescale/simulator";
import { type AppWithPeople, openAppWithPeople } from "./accounts.ts";

const SIZE = { widthPx: 900, heightPx: 600 } as const;

export interface WoundFrame extends AppWithPeople {
  readonly frameId: string;
  readonly sha256: string;
  readonly areaMm2: number;
  /** A point within the wound, upright px. */
  readonly within: readonly [number, number];
}

/**
 * A server over a library with one rendered wound beside an L-shaped scale, waiting to be placed.
 * @param library one that was begun already; left out: a new folder
 */
export async function openAppWithWound(library?: string): Promise<WoundFrame> {
  const people = await openAppWithPeople({}, {}, library);
  const folder = await mkdtemp(join(tmpdir(), "samescale-wound-"));
  const card = join(folder, "card");
  const camera = standardCamera(SIZE);
  const scene = standardScene({
    skin: standardSkin({ tone: 2, seed: 20411 }),
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
      { kind: "l-scale", placement: { xMm: -30, yMm: -24, rotateDeg: 0 }, legMm: 60 },
    ],
  });
  const picture = await renderPicture({ scene, camera, seed: 11 });
  await mkdir(join(card, "DCIM"), { recursive: true });
  await writePicture(join(card, "DCIM", "A.JPG"), picture, camera);
  const { desk, app } = people;
  await takeCard(desk, card);
  app.addHook("onClose", () => rm(folder, { recursive: true, force: true }));
  const region = picture.truth.things.flatMap((thing) => thing.regions)[0]!;
  const [row] = await desk.library.read.selectFrom("file").select(["sha256", "frame_id"]).execute();
  const sum = region.outlinePx.reduce(([x, y], [px, py]) => [x + px, y + py], [0, 0]);
  const count = region.outlinePx.length;
  return {
    ...people,
    frameId: row!.frame_id!,
    sha256: row!.sha256,
    areaMm2: region.areaMm2,
    within: [sum[0]! / count, sum[1]! / count],
  };
}

async function takeCard(desk: Desk, card: string): Promise<void> {
  const pictures = createPicturePool(1);
  const { id, name } = await desk.library.read
    .selectFrom("person")
    .select(["id", "name"])
    .where("login", "=", "photographer")
    .executeTakeFirstOrThrow();
  const actor = { name, role: "photographer", personId: id } as const;
  const secondPlace = { is: "one copy is enough" } as const;
  for await (const _ of takeIn({ desk, actor, cards: [card], pictures, secondPlace }));
  await pictures.close();
}
