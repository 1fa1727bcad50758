import { type ComponentType, lazy } from "react";
import { words } from "../words/index.ts";

export interface Place {
  readonly name: string;
  /** Where it begins; everything below belongs to it. */
  readonly path: string;
  /** Pressed after `g`. */
  readonly key: string;
  /** Brings it; a place that was brought before it is shown, is shown at once. */
  bring(): Promise<unknown>;
  /** What is shown; the same for as long as the application is open. */
  page(): ComponentType;
}

type Load = () => Promise<{ readonly default: ComponentType }>;

function place(name: string, path: string, key: string, load: Load): Place {
  let brought: ComponentType | null = null;
  let shown: ComponentType | null = null;
  const bring = async () => {
    const loaded = await load();
    brought = loaded.default;
    return loaded;
  };
  const page = () => {
    shown ??= brought ?? lazy(bring);
    return shown;
  };
  return { name, path, key, bring, page };
}

const { names } = words.shell;

/** The places of the application, in the order of the day. Each is fetched when it is first opened. */
export const places: readonly Place[] = [
  place(names.today, "/", "t", () => import("../places/today/today.tsx")),
  place(names.request, "/requests", "r", () => import("../places/request/request.tsx")),
  place(names.bedside, "/bedside", "b", () => import("../places/bedside/bedside.tsx")),
  place(names.card, "/card", "c", () => import("../places/card/card.tsx")),
  place(names.frames, "/frames", "f", () => import("../places/frames/frames.tsx")),
  place(names.measure, "/measure", "m", () => import("../places/measure/measure.tsx")),
  place(names.series, "/series", "s", () => import("../places/series/series.tsx")),
  place(names.release, "/release", "o", () => import("../places/release/release.tsx")),
  place(names.custody, "/custody", "u", () => import("../places/custody/custody.tsx")),
  place(names.practice, "/practice", "p", () => import("../places/practice/practice.tsx")),
  place(names.rehearse, "/rehearse", "h", () => import("../places/rehearse/rehearse.tsx")),
];

/** The place to which an address belongs; null: none. */
export const placeAt = (path: string): Place | null =>
  places.find(({ path: at }) => (at === "/" ? path === "/" : path === at || path.startsWith(`${at}/`))) ??
  null;
