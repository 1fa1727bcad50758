import { useSearchParams } from "wouter";

export const WAYS = ["strip", "side", "blink", "split", "difference"] as const;
export type Way = (typeof WAYS)[number];

export interface SeriesAddress {
  readonly view: string | null;
  readonly way: Way;
  /** The follow-up that stands beside the baseline. */
  readonly with: string | null;
  readonly part: "near" | "whole";
  readonly colours: "matched" | "own";
  /** Points are being placed on it. */
  readonly isPointing: boolean;
}

type Change = Readonly<
  Partial<Record<"view" | "way" | "with" | "part" | "colours" | "points", string | null>>
>;

/** How the series is looked at, in the address. */
export function useSeriesAddress(): [SeriesAddress, (change: Change) => void] {
  const [params, setParams] = useSearchParams();
  const way = params.get("way") as Way | null;
  return [
    {
      view: params.get("view"),
      way: way !== null && WAYS.includes(way) ? way : "strip",
      with: params.get("with"),
      part: params.get("part") === "whole" ? "whole" : "near",
      colours: params.get("colours") === "own" ? "own" : "matched",
      isPointing: params.get("points") === "1",
    },
    (change) =>
      setParams((before) => {
        const next = new URLSearchParams(before);
        for (const [name, value] of Object.entries(change)) {
          if (value) next.set(name, value);
          else next.delete(name);
        }
        return next;
      }),
  ];
}
