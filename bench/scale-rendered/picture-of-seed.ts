import { existsSync } from "node:fs";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import {
  type ClutterFacts,
  clutterPicture,
  encodePicture,
  renderPicture,
  type ScaleFacts,
  scalePicture,
  type Truth,
} from "../../packages/simulator/src/index.ts";

/** A rendered file, and what is to be known of it. */
export interface SeedPicture {
  readonly jpeg: Buffer;
  readonly truth: Truth;
  readonly facts: ScaleFacts | ClutterFacts;
  /** What a program may know: focal length, and the size of a pixel on the sensor. */
  readonly focalMm: number;
  readonly pixelMm: number;
}

/** Renders the picture of a seed; or takes it from the folder where an earlier run has kept it. */
export async function pictureOfSeed(seed: number, clutter: boolean, keepIn?: string): Promise<SeedPicture> {
  const name = `${keepIn}/${clutter ? "clutter" : "scale"}-${seed}`;
  if (keepIn && existsSync(`${name}.json`)) {
    const known = JSON.parse(await readFile(`${name}.json`, "utf8")) as Omit<SeedPicture, "jpeg">;
    return { ...known, jpeg: await readFile(`${name}.jpg`) };
  }
  const { shot, facts } = clutter ? clutterPicture(seed) : scalePicture(seed);
  const picture = await renderPicture(shot);
  const { camera } = shot;
  const jpeg = await encodePicture(picture, camera);
  const known = {
    truth: picture.truth,
    facts,
    focalMm: camera.focalMm,
    pixelMm: camera.sensorMm.width / camera.widthPx,
  };
  if (keepIn) {
    await mkdir(keepIn, { recursive: true });
    await writeFile(`${name}.jpg`, jpeg);
    await writeFile(`${name}.json`, JSON.stringify(known));
  }
  return { jpeg, ...known };
}
