/** A band of picture rows in linear light, premultiplied by alpha, planes apart. Includes margins for the blur. */
export interface Strip {
  /** Picture coordinates of the first column and row held. */
  readonly x0: number;
  readonly y0: number;
  readonly width: number;
  readonly height: number;
  readonly r: Float32Array;
  readonly g: Float32Array;
  readonly b: Float32Array;
  readonly a: Float32Array;
}

export function newStrip(x0: number, y0: number, width: number, height: number): Strip {
  const n = width * height;
  return {
    x0,
    y0,
    width,
    height,
    r: new Float32Array(n),
    g: new Float32Array(n),
    b: new Float32Array(n),
    a: new Float32Array(n),
  };
}

/** The same memory for another place in the picture. */
export function movedStrip(strip: Strip, x0: number, y0: number, width: number, height: number): Strip {
  const n = width * height;
  if (n > strip.r.length) return newStrip(x0, y0, width, height);
  return { ...strip, x0, y0, width, height };
}

export function clearStrip(strip: Strip): void {
  const n = strip.width * strip.height;
  strip.r.fill(0, 0, n);
  strip.g.fill(0, 0, n);
  strip.b.fill(0, 0, n);
  strip.a.fill(0, 0, n);
}
