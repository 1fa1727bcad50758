import type { Me } from "@samescale/server";
import { type ComponentType, lazy } from "react";
import Today from "../places/today/today.tsx";
import { words } from "../words/index.ts";

type Role = Me["role"];

export interface Place {
  readonly name: string;
  /** Where it begins; everything below belongs to it. */
  readonly path: string;
  /** Pressed after `g`. */
  readonly key: string;
  /** Who has work there; for everybody else it stands in no list. What they may is the server's to say. */
  readonly for: readonly Role[];
  /** Brings it; a place that was brought before it is shown, is shown at once. */
  bring(): Promise<unknown>;
  /** What is shown; the same for as long as the application is open. */
  page(): ComponentType;
}

type Load = () => Promise<{ readonly default: ComponentType }>;

function place(name: string, path: string, key: string, who: readonly Role[], load: Load): Place {
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
  return { name, path, key, for: who, bring, page };
}

const { names } = words.shell;
const makers: readonly Role[] = ["photographer", "lead"];
const lookers: readonly Role[] = [...makers, "requester", "viewer"];
const withPatients: readonly Role[] = [...lookers, "auditor"];
const everybody: readonly Role[] = [...withPatients, "administrator"];

/** The places of the application, in the order of the day. Today comes with the application, each other when it is first opened. */
export const places: readonly Place[] = [
  place(names.today, "/", "t", everybody, async () => ({ default: Today })),
  place(names.request, "/requests", "r", withPatients, () => import("../places/request/request.tsx")),
  place(names.bedside, "/bedside", "b", makers, () => import("../places/bedside/bedside.tsx")),
  place(names.card, "/card", "c", makers, () => import("../places/card/card.tsx")),
  place(names.frames, "/frames", "f", lookers, () => import("../places/frames/frames.tsx")),
  place(names.measure, "/measure", "m", lookers, () => import("../places/measure/measure.tsx")),
  place(names.series, "/series", "s", lookers, () => import("../places/series/series.tsx")),
  place(
    names.release,
    "/release",
    "o",
    [...makers, "requester", "auditor"],
    () => import("../places/release/release.tsx"),
  ),
  place(
    names.custody,
    "/custody",
    "u",
    [...makers, "auditor"],
    () => import("../places/custody/custody.tsx"),
  ),
  place(names.practice, "/practice", "p", everybody, () => import("../places/practice/practice.tsx")),
  place(names.rehearse, "/rehearse", "h", everybody, () => import("../places/rehearse/rehearse.tsx")),
];

/** Where somebody of this role has work. */
export const placesFor = (role: Role): readonly Place[] => places.filter((one) => one.for.includes(role));

/** The place to which an address belongs; null: none. */
export const placeAt = (path: string): Place | null =>
  places.find(({ path: at }) => (at === "/" ? path === "/" : path === at || path.startsWith(`${at}/`))) ??
  null;
