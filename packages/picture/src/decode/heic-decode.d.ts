/** What is used of heic-decode 2.1.0, which brings no types. */
declare module "heic-decode" {
  export interface DecodedHeicImage {
    readonly width: number;
    readonly height: number;
    /** Four interleaved channels. */
    readonly data: Uint8ClampedArray<ArrayBuffer>;
  }
  export interface DecodableHeicImage {
    readonly width: number;
    readonly height: number;
    decode(): Promise<DecodedHeicImage>;
  }
  const decode: {
    all(input: { buffer: Uint8Array }): Promise<DecodableHeicImage[] & { dispose(): void }>;
  };
  export default decode;
}
