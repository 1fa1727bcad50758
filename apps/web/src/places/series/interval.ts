import type { SeriesVisitShown } from "@samescale/server";

type Measured = NonNullable<SeriesVisitShown["areaMm2"]>;

/** A value with as many decimals as its interval bears. */
export function interval({ value, u95 }: Measured): { readonly value: string; readonly u95: string } {
  const decimals = u95 >= 3 ? 0 : u95 >= 0.3 ? 1 : u95 >= 0.03 ? 2 : 3;
  return { value: value.toFixed(decimals), u95: u95.toFixed(decimals) };
}

/** "934 ± 21" */
export const intervalText = (measured: Measured): string => {
  const { value, u95 } = interval(measured);
  return `${value} ± ${u95}`;
};
