import type { OpenCV } from "@opencvjs/node";

/**
 * The vision library (WebAssembly, no threads), loaded once per thread on first use. Three traps live here and
 * nowhere else: every Mat, vector and detector must be deleted (`Scope`), what it throws are numbers
 * (`withVision` turns them into errors), and some builds of it are thenable, so the library never travels as
 * the bare result of a promise.
 */
export type Cv = typeof OpenCV & Unlisted;

/** In the library but absent from its type declarations. */
interface Unlisted {
  /** Made without arguments only: with them this build leaves a field unset and writes outside its memory. */
  readonly AKAZE: new () => OpenCV.Feature2D & { setThreshold(threshold: number): void };
  readonly USAC_MAGSAC: number;
}

let loading: Promise<{ readonly cv: Cv }> | undefined;

async function load(): Promise<{ readonly cv: Cv }> {
  const { loadOpenCV } = await import("@opencvjs/node");
  return { cv: (await loadOpenCV()) as Cv };
}

/** Owns native objects; whatever was `own`ed is deleted when the scope ends, newest first. */
export class Scope implements Disposable {
  readonly #owned: { delete(): void }[] = [];

  own<T extends { delete(): void }>(native: T): T {
    this.#owned.push(native);
    return native;
  }

  [Symbol.dispose](): void {
    for (let native = this.#owned.pop(); native; native = this.#owned.pop()) native.delete();
  }
}

/**
 * Runs `work` with the library and a scope for its native objects. `work` is synchronous on purpose: nothing
 * native may outlive it, and results leave as plain arrays.
 */
export async function withVision<T>(work: (cv: Cv, scope: Scope) => T): Promise<T> {
  loading ??= load();
  const { cv } = await loading;
  using scope = new Scope();
  try {
    return work(cv, scope);
  } catch (thrown) {
    if (typeof thrown !== "number") throw thrown;
    const exception: unknown = cv.exceptionFromPtr(thrown);
    const text = (exception as { msg?: unknown }).msg;
    throw new Error(`vision library: ${typeof text === "string" ? text.trim() : `fault ${thrown}`}`);
  }
}

/** A one-channel 8-bit Mat with a copy of the values. */
export function mat8(
  cv: Cv,
  scope: Scope,
  widthPx: number,
  heightPx: number,
  values: Uint8Array,
): OpenCV.Mat {
  const mat = scope.own(new cv.Mat(heightPx, widthPx, cv.CV_8UC1));
  mat.data.set(values);
  return mat;
}
