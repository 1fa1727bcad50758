import { type Camera, checkCamera } from "../camera/camera.ts";
import { viewOf } from "../camera/view.ts";
import { blurStrip, spreadPx } from "../lens/blur.ts";
import { motionBlur, motionReachPx } from "../lens/motion.ts";
import { clearStrip, movedStrip, newStrip, type Strip } from "../raster/strip.ts";
import type { Scene } from "../scene/scene.ts";
import { Sensor } from "../sensor/sensor.ts";
import type { Mirror } from "../things/mirror.ts";
import { type PlacedThing, type Truth, truthOf } from "../truth/truth.ts";
import { backdropLayer } from "./backdrop-layer.ts";
import { compositeOver } from "./composite.ts";
import { groundLayer } from "./ground-layer.ts";
import type { Layer } from "./layer.ts";
import { mirrorLayer } from "./mirror-layer.ts";
import { bareUnder, groundMarks, liftedLayer, type Staged } from "./place-things.ts";
import { setStage } from "./set-stage.ts";

export interface Picture {
  /** Upright pixels, sRGB, 3 bytes each. */
  readonly rgb: Uint8Array<ArrayBuffer>;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly truth: Truth;
}

export interface Shot {
  readonly scene: Scene;
  readonly camera: Camera;
  /** Everything that happens by chance in this one exposure. */
  readonly seed: number;
}

const BAND_ROWS = 96;

/** Makes the picture that the camera takes of the scene, with all that is true of it. Same input, same bytes. */
export async function renderPicture(shot: Shot): Promise<Picture> {
  const { scene, camera, seed } = shot;
  checkCamera(camera);
  const { layers, truth } = composed(scene, camera, seed);
  const { widthPx, heightPx } = camera;
  const rgb = new Uint8Array(widthPx * heightPx * 3);
  const sensor = new Sensor(camera, seed);
  const { lengthPx, directionDeg } = camera.motion;
  const spare = motionReachPx(lengthPx);
  const exposer = new Exposer(camera, layers);
  let still = newStrip(0, 0, 1, 1);
  let moved = newStrip(0, 0, 1, 1);
  for (let y = 0; y < heightPx; y += BAND_ROWS) {
    const rows = Math.min(BAND_ROWS, heightPx - y);
    // One more row and column all round, for the sensor's sharpening; more where the picture moved.
    still = movedStrip(still, -1 - spare, y - 1 - spare, widthPx + 2 + 2 * spare, rows + 2 + 2 * spare);
    exposer.expose(still);
    let band = still;
    if (spare > 0) {
      moved = movedStrip(moved, -1, y - 1, widthPx + 2, rows + 2);
      motionBlur(still, moved, lengthPx, directionDeg);
      band = moved;
    }
    sensor.develop(band, 1, rows + 1, 1, widthPx, rgb, y);
  }
  return { rgb, widthPx, heightPx, truth };
}

/** The layers of a scene from far to near, and what is true of it. */
function composed(scene: Scene, camera: Camera, seed: number): { layers: Layer[]; truth: Truth } {
  const { stage, carrier, sets } = setStage(scene, camera);
  const ground = groundLayer(stage, carrier, groundMarks(stage, carrier, sets), bareUnder(sets));
  const layers: Layer[] = ground.opaque ? [ground] : [backdropLayer(stage), ground];
  const placed: PlacedThing[] = [...sets];
  for (const set of sets) {
    if (isMirror(set)) {
      const { layer, reflected } = mirrorLayer(stage, set);
      layers.push(layer);
      placed.push(...reflected);
    }
    if (set.lifted || isMirror(set)) layers.push(liftedLayer(stage, set));
  }
  return { layers, truth: truthOf(scene, stage.view, carrier, placed, seed) };
}

const isMirror = (set: Staged): set is Staged & { readonly thing: Mirror } => set.thing.kind === "mirror";

/** Paints the layers, blurs each by its own depth and lays them over each other. */
class Exposer {
  readonly #layers: readonly Layer[];
  readonly #camera: Camera;
  #sharp = newStrip(0, 0, 1, 1);
  #soft = newStrip(0, 0, 1, 1);

  constructor(camera: Camera, layers: readonly Layer[]) {
    this.#camera = camera;
    this.#layers = layers;
  }

  expose(out: Strip): void {
    const lens = viewOf(this.#camera).lens;
    for (const layer of this.#layers) {
      if (layer.soft) {
        layer.paint(out);
        continue;
      }
      const reach = spreadPx(lens, layer.discPx);
      const { bounds } = layer;
      const left = bounds ? Math.max(out.x0, Math.floor(bounds.left) - reach) : out.x0;
      const right = bounds
        ? Math.min(out.x0 + out.width, Math.ceil(bounds.right) + reach)
        : out.x0 + out.width;
      const top = bounds ? Math.max(out.y0, Math.floor(bounds.top) - reach) : out.y0;
      const bottom = bounds
        ? Math.min(out.y0 + out.height, Math.ceil(bounds.bottom) + reach)
        : out.y0 + out.height;
      if (left >= right || top >= bottom) continue;
      const [w, h] = [right - left, bottom - top];
      this.#sharp = movedStrip(this.#sharp, left - reach, top - reach, w + 2 * reach, h + 2 * reach);
      clearStrip(this.#sharp);
      layer.paint(this.#sharp);
      if (layer.opaque) {
        blurStrip(this.#sharp, out, lens, layer.depthAt, false);
        continue;
      }
      this.#soft = movedStrip(this.#soft, left, top, w, h);
      blurStrip(this.#sharp, this.#soft, lens, layer.depthAt, true);
      compositeOver(out, this.#soft);
    }
  }
}
