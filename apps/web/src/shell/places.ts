import { type ComponentType, type LazyExoticComponent, lazy } from "react";
import { words } from "../words/index.ts";

export interface Place {
  readonly name: string;
  /** Where it begins; everything below belongs to it. */
  readonly path: string;
  /** Pressed after `g`. */
  readonly key: string;
  readonly Page: LazyExoticComponent<ComponentType>;
}

const { names } = words.shell;

/** The places of the application, in the order of the day. Each is fetched when it is first opened. */
export const places: readonly Place[] = [
  { name: names.today, path: "/", key: "t", Page: lazy(() => import("../places/today/today.tsx")) },
  {
    name: names.request,
    path: "/requests",
    key: "r",
    Page: lazy(() => import("../places/request/request.tsx")),
  },
  {
    name: names.bedside,
    path: "/bedside",
    key: "b",
    Page: lazy(() => import("../places/bedside/bedside.tsx")),
  },
  { name: names.card, path: "/card", key: "c", Page: lazy(() => import("../places/card/card.tsx")) },
  { name: names.frames, path: "/frames", key: "f", Page: lazy(() => import("../places/frames/frames.tsx")) },
  {
    name: names.measure,
    path: "/measure",
    key: "m",
    Page: lazy(() => import("../places/measure/measure.tsx")),
  },
  { name: names.series, path: "/series", key: "s", Page: lazy(() => import("../places/series/series.tsx")) },
  {
    name: names.release,
    path: "/release",
    key: "o",
    Page: lazy(() => import("../places/release/release.tsx")),
  },
  {
    name: names.custody,
    path: "/custody",
    key: "u",
    Page: lazy(() => import("../places/custody/custody.tsx")),
  },
  {
    name: names.practice,
    path: "/practice",
    key: "p",
    Page: lazy(() => import("../places/practice/practice.tsx")),
  },
  {
    name: names.rehearse,
    path: "/rehearse",
    key: "h",
    Page: lazy(() => import("../places/rehearse/rehearse.tsx")),
  },
];
