/** The part of jstat that is used here; the library ships no type declarations. */
declare module "jstat" {
  const jstat: {
    readonly jStat: {
      readonly centralF: {
        /** Quantile of Fisher's F distribution. */
        inv(probability: number, numeratorDegrees: number, denominatorDegrees: number): number;
      };
    };
  };
  export default jstat;
}
