import { parentPort } from "node:worker_threads";
import { reportOf } from "@samescale/errors";
import { renderPicture } from "../render/render-picture.ts";
import { encodePicture } from "../write/write-picture.ts";
import type { DarkroomAnswer, DarkroomTask } from "./darkroom.ts";
import { cameraOf, sceneOf } from "./held-camera.ts";

/** The same exposure every time: what changes between two pictures is what the hand changed. */
const SEED = 7;

parentPort?.on("message", async (task: DarkroomTask) => {
  parentPort?.postMessage(await made(task));
});

async function made({ id, held, widthPx }: DarkroomTask): Promise<DarkroomAnswer> {
  try {
    const camera = cameraOf(held, widthPx);
    const picture = await renderPicture({ scene: sceneOf(held), camera, seed: SEED });
    return { id, jpeg: await encodePicture(picture, camera) };
  } catch (thrown) {
    return { id, error: reportOf(thrown, "the virtual camera") };
  }
}
