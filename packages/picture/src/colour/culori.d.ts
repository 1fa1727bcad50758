/** The part of culori that is used here; the library ships no type declarations. */
declare module "culori" {
  export interface Lab65 {
    readonly mode: "lab65";
    readonly l: number;
    readonly a: number;
    readonly b: number;
  }
  export function differenceCiede2000(kL?: number, kC?: number, kH?: number): (a: Lab65, b: Lab65) => number;
}
