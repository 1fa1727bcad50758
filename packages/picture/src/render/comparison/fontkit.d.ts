/** The part of fontkit that is used here; the library ships no type declarations. */
declare module "fontkit" {
  export interface Font {
    readonly capHeight: number;
    layout(text: string): {
      readonly advanceWidth: number;
      readonly glyphs: readonly { readonly path: { toSVG(): string } }[];
      readonly positions: readonly { readonly xAdvance: number }[];
    };
  }
  export function openSync(file: string): Font;
}
