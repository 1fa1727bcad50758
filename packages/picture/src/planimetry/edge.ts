import { SamescaleError } from "@samescale/errors";
import { coverageFactor95, type OutlineRepeatability } from "@samescale/geometry";
import type { EdgeKnownFrom } from "../answers.ts";

/** What outlines drawn again by the department's own people say of how well they place an edge. */
export interface OwnRepeats {
  /** Of one outline by any of them, in millimetres across the edge: one standard uncertainty. */
  readonly edgeUMm: number;
  readonly degreesOfFreedom: number;
  readonly outlines: number;
  readonly persons: number;
  readonly things: number;
}

/** How well an edge is placed, all along it alike: one standard uncertainty, and where that is from. */
export interface PlacedEdge {
  readonly uMm: number;
  readonly from: EdgeKnownFrom;
  /** As the budget names it. */
  readonly source: string;
}

const DEFAULT_EDGE_U_PX = 1;

/** What repeats say for the budget: of one outline by any of the persons who drew them. */
export function ownRepeatsOf({ edgeMm }: OutlineRepeatability): OwnRepeats {
  return {
    edgeUMm: edgeMm.anyPersonSd,
    degreesOfFreedom: edgeMm.anyPersonDegreesOfFreedom,
    outlines: edgeMm.repeats,
    persons: edgeMm.persons,
    things: edgeMm.things,
  };
}

/**
 * The larger of what the picture shows (a soft edge) and what the department's own repeats show; one pixel where
 * there is neither. Few repeats count for less: their figure is enlarged as Student's t is against the normal.
 */
export function placedEdge(
  edgeUPx: number | undefined,
  own: OwnRepeats | undefined,
  pxPerMm: number,
): PlacedEdge {
  const byPicture = edgeUPx === undefined ? null : edgeUPx / pxPerMm;
  const byRepeats = own ? (own.edgeUMm * coverageFactor95(own.degreesOfFreedom)) / coverageFactor95() : null;
  if (own && byRepeats !== null && byRepeats >= (byPicture ?? 0)) {
    const persons = own.persons === 1 ? "1 person" : `${own.persons} persons`;
    const source = `edge position (own repeats: ${own.outlines} outlines by ${persons})`;
    return { uMm: byRepeats, from: "repeats", source };
  }
  if (byPicture !== null) {
    return { uMm: byPicture, from: "picture", source: "edge position (softness of the edge)" };
  }
  return {
    uMm: DEFAULT_EDGE_U_PX / pxPerMm,
    from: "assumed",
    source: `edge position (${DEFAULT_EDGE_U_PX} px assumed, no repeats)`,
  };
}

/**
 * A line of `samescale repeats --json` that nobody vouches for, as far as measuring needs it.
 * @param where what to name in errors
 * @throws REPEATS_NOT_UNDERSTOOD
 */
export function ownRepeatsFromJson(value: unknown, where: string): OwnRepeats {
  const own = isRecord(value) && isRecord(value.ownRepeats) ? value.ownRepeats : {};
  const number = (name: keyof OwnRepeats, least: number): number => {
    const given = own[name];
    if (typeof given === "number" && given >= least && given < 1e6) return given;
    throw new SamescaleError(
      "REPEATS_NOT_UNDERSTOOD",
      `${where}: ownRepeats.${name} is not a number of ${least} or more`,
      "Give a line printed by samescale repeats --json.",
    );
  };
  return {
    edgeUMm: number("edgeUMm", 0),
    degreesOfFreedom: number("degreesOfFreedom", 1),
    outlines: number("outlines", 2),
    persons: number("persons", 1),
    things: number("things", 1),
  };
}

const isRecord = (v: unknown): v is Readonly<Record<string, unknown>> =>
  typeof v === "object" && v !== null && !Array.isArray(v);
