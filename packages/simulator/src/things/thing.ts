import type { Mark, Ring } from "../artwork/mark.ts";
import type { Bend, Placement } from "../surface/pose.ts";
import type { CharacterPlace } from "../text/letter.ts";

/** A place on a thing whose position in the picture is part of the truth. */
export interface NamedPoint {
  readonly name: string;
  readonly x: number;
  readonly y: number;
}

/** Ticks of one ruled edge, in the thing's own millimetres: x, y = the tick's middle, mm = what it stands for. */
export interface RuledEdge {
  readonly edge: string;
  readonly unit: "mm" | "inch";
  readonly stepMm: number;
  readonly ticks: readonly {
    readonly mm: number;
    readonly x: number;
    readonly y: number;
    readonly rank: number;
    readonly missing: boolean;
  }[];
  /** Numerals and unit words of the edge, character by character. */
  readonly characters?: readonly CharacterPlace[];
}

/** A closed outline whose true size is part of the truth, in the thing's own millimetres. */
export interface NamedRegion {
  readonly name: string;
  readonly outline: Ring;
  readonly holes: readonly Ring[];
}

/** A thing as artwork in its own flat millimetres, before it is placed. */
export interface Artwork {
  readonly marks: readonly Mark[];
  /** What casts a shadow, from how high; opacity 1 unless it lets light through. */
  readonly shadow?: { readonly rings: readonly Ring[]; readonly heightMm: number; readonly opacity?: number };
  /** Follows the surface instead of keeping its own plane. */
  readonly wraps: boolean;
  readonly bend?: Bend;
  readonly edges?: readonly RuledEdge[];
  readonly points?: readonly NamedPoint[];
  readonly regions?: readonly NamedRegion[];
  readonly facts?: Readonly<Record<string, unknown>>;
}

export interface Placed {
  readonly placement: Placement;
  /** A name of the caller's own, to find the thing again in the truth. */
  readonly id?: string;
}
