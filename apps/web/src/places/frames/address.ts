import { useMemo } from "react";
import { useSearchParams } from "wouter";

/** What hides frames. Each is a part of the address. */
export const FILTERS = [
  "view",
  "verdict",
  "checked",
  "scale",
  "measured",
  "sensitive",
  "frame",
  "from",
  "until",
] as const;
export type FilterName = (typeof FILTERS)[number];
/** Where somebody looks: narrows what there is, hides nothing. */
const WHERE = ["request", "visit", "text", "aside"] as const;
type WhereName = (typeof WHERE)[number];

export interface FramesAddress {
  readonly where: Readonly<Partial<Record<WhereName, string>>>;
  readonly filters: Readonly<Partial<Record<FilterName, string>>>;
  /** The frame at hand. */
  readonly at: string | null;
  /** It fills the place. */
  readonly isLarge: boolean;
  readonly compare: readonly string[];
  /** For the server: where and filters alone. */
  readonly query: string;
}

type Change = Readonly<Partial<Record<FilterName | WhereName | "at" | "large" | "compare", string | null>>>;

/** Everything chosen in this place lies in the address: links lead there, the back button leads back. */
export function useFramesAddress(): [
  FramesAddress,
  (change: Change, how?: { readonly replace: boolean }) => void,
] {
  const [params, setParams] = useSearchParams();
  const text = params.toString();
  const address = useMemo((): FramesAddress => {
    const now = new URLSearchParams(text);
    const some = <Name extends string>(names: readonly Name[]) =>
      Object.fromEntries(
        names.flatMap((name) => {
          const value = now.get(name);
          return value ? [[name, value]] : [];
        }),
      ) as Partial<Record<Name, string>>;
    const where = some(WHERE);
    const filters = some(FILTERS);
    return {
      where,
      filters,
      at: now.get("at"),
      isLarge: now.get("large") === "1",
      compare: now.get("compare")?.split(",").filter(Boolean).slice(0, 4) ?? [],
      query: new URLSearchParams({ ...where, ...filters }).toString(),
    };
  }, [text]);
  const change = (wanted: Change, how = { replace: false }) =>
    setParams((before) => {
      const next = new URLSearchParams(before);
      for (const [name, value] of Object.entries(wanted)) {
        if (value) next.set(name, value);
        else next.delete(name);
      }
      return next;
    }, how);
  return [address, change];
}

/** Shows all again: nothing but where one looks stays. */
export const NO_FILTERS: Change = Object.fromEntries(FILTERS.map((name) => [name, null]));
