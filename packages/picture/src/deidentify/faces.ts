import { readFile } from "node:fs/promises";
import type { OpenCV } from "@opencvjs/node";
import type { GreyPicture } from "../decode/picture.ts";
import { mat8, withVision } from "../vision/opencv.ts";

/**
 * Where general systems keep the vision library's trained frontal face. Not part of this program: without it faces are asked
 * of a person, as they are with it.
 */
const CASCADES = [
  "/usr/share/opencv4/haarcascades/haarcascade_frontalface_default.xml",
  "/usr/share/opencv/haarcascades/haarcascade_frontalface_default.xml",
  "/usr/local/share/opencv4/haarcascades/haarcascade_frontalface_default.xml",
];

/** A trained file is about 1 MB; anything much larger is something else. */
const MOST_CASCADE_BYTES = 8_000_000;

export interface FaceBox {
  readonly x: number;
  readonly y: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** The trained face as text; null where this machine has none. */
export async function faceCascade(paths: readonly string[] = CASCADES): Promise<Buffer | null> {
  for (const path of paths) {
    const bytes = await readFile(path).catch(() => null);
    if (bytes !== null && bytes.length <= MOST_CASCADE_BYTES) return bytes;
  }
  return null;
}

const IN_MEMORY = "frontal-face.xml";
/** Smaller faces are not found by the trained window of 24 px. */
const LEAST_FACE_PX = 24;
/** Overlapping finds that make a face: few, as one too many is dismissed with a click and one too few is a person known. */
const LEAST_FINDS = 3;
const STEP = 1.08;

/**
 * Frontal, upright faces, by boosted cascades of rectangle differences. Many are missed: turned, lying, half seen.
 * @source ViolaJones2004
 */
export async function facesIn(picture: GreyPicture, cascade: Buffer): Promise<readonly FaceBox[]> {
  return await withVision((cv, scope) => {
    const files = cv as unknown as Files;
    files.FS_createDataFile("/", IN_MEMORY, cascade, true, false, false);
    try {
      const classifier = scope.own(new cv.CascadeClassifier());
      if (!classifier.load(IN_MEMORY)) return [];
      const grey = mat8(cv, scope, picture.widthPx, picture.heightPx, Uint8Array.from(picture.grey));
      cv.equalizeHist(grey, grey);
      const found = scope.own(new cv.RectVector());
      const least = new cv.Size(LEAST_FACE_PX, LEAST_FACE_PX);
      classifier.detectMultiScale(grey, found, STEP, LEAST_FINDS, 0, least, new cv.Size(0, 0));
      return Array.from({ length: found.size() }, (_, i) => {
        const { x, y, width, height } = found.get(i) as OpenCV.Rect;
        return { x, y, widthPx: width, heightPx: height };
      });
    } finally {
      files.FS_unlink(`/${IN_MEMORY}`);
    }
  });
}

/** The library's files in memory; absent from its type declarations. */
interface Files {
  FS_createDataFile(
    at: string,
    name: string,
    bytes: Uint8Array,
    read: boolean,
    write: boolean,
    own: boolean,
  ): void;
  FS_unlink(path: string): void;
}
