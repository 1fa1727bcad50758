import { parentPort } from "node:worker_threads";
import { reportOf } from "@samescale/errors";
import { renderPicture } from "../render/render-picture.ts";
import { writePicture } from "../write/write-picture.ts";
import type { Answer, Task } from "./make-demo-cards.ts";

/** A thread that makes demonstration pictures, one after the other. */
parentPort?.on("message", async ({ index, path, frame }: Task) => {
  parentPort?.postMessage(await made(index, path, frame));
});

async function made(index: number, path: string, { scene, camera, seed }: Task["frame"]): Promise<Answer> {
  try {
    const picture = await renderPicture({ scene, camera, seed });
    await writePicture(path, picture, camera);
    return { index, truth: picture.truth };
  } catch (thrown) {
    return { index, error: reportOf(thrown, path) };
  }
}
