import { ink, type Mark, type Ring } from "../artwork/mark.ts";
import { placed, rect, roundedRect } from "../artwork/shapes.ts";
import { grey } from "../colour/colour.ts";
import type { Bend } from "../surface/pose.ts";
import { type CharacterPlace, characterPlaces, letter } from "../text/letter.ts";
import { GRADUATIONS, type Graduation, type GraduationName, ticksOf } from "./graduation.ts";
import { bodyMarks, inkMarks, type ScaleStyle, styleOf } from "./scale-style.ts";
import { patchMarks } from "./strip-patches.ts";
import type { Artwork, Placed, RuledEdge } from "./thing.ts";

/** A straight scale. Placed by its middle; the first edge lies at its -y side, mm 0 at the -x end. */
export interface StraightScale extends Placed {
  readonly kind: "straight-scale";
  /** Graduated length. */
  readonly lengthMm: number;
  readonly widthMm?: number;
  /** Bare body beyond the first and the last tick. */
  readonly marginMm?: number;
  /** One edge, or two for a two-sided scale. */
  readonly edges:
    | readonly [GraduationName | Blocks]
    | readonly [GraduationName | Blocks, GraduationName | Blocks];
  readonly style?: Partial<ScaleStyle>;
  /** Ticks left out, by number, on the first edge. */
  readonly missingTicks?: readonly number[];
  /** Print the unit's word beside the zero, or another one. */
  readonly word?: boolean | string;
  /** Bowed in its own plane: height of the arc. The length along the edge is kept. */
  readonly bowMm?: number;
  /** Its middle lifted off the surface by so much (its ends, when negative). */
  readonly liftMm?: number;
  /** Follows the surface, as a tape or a strip of paper laid round a limb does. */
  readonly wraps?: boolean;
  /** A row of grey and colour patches along the second side; takes 8 mm of the width. */
  readonly patches?: boolean;
}

/** Alternating filled blocks, as on photographic scales; with or without a fine division beside them. */
export interface Blocks {
  readonly blockMm: number;
  readonly subdivided: boolean;
  /** A frame line round the empty blocks. */
  readonly outlined?: boolean;
  /** What the numerals count; millimetres when absent. */
  readonly numbered?: "mm" | "cm";
}

interface EdgeArt {
  readonly ink: Ring[];
  /** Rows of marks on this edge: one, or blocks and the fine division beside them. */
  readonly ruled: readonly RuledEdge[];
}

export function straightScale(scale: StraightScale): Artwork {
  const style = styleOf(scale.style);
  const width = scale.widthMm ?? (scale.edges.length === 2 ? 30 : 22);
  const margin = scale.marginMm ?? 4;
  const length = scale.lengthMm;
  const body = roundedRect(-length / 2 - margin, -width / 2, length / 2 + margin, width / 2, 1.2);
  const inkRings: Ring[] = [];
  const edges: RuledEdge[] = [];
  scale.edges.forEach((edge, index) => {
    const art = edgeArt(edge, index === 0 ? "first" : "second", scale, style);
    // The second edge is the first turned half round; each starts at its own left.
    const turn = index === 0 ? 0 : 180;
    const move = (ring: Ring): Ring => placed(placed(ring, -length / 2, -width / 2), 0, 0, turn);
    inkRings.push(...art.ink.map(move));
    const sign = index === 0 ? 1 : -1;
    for (const ruled of art.ruled) {
      edges.push({
        ...ruled,
        ticks: ruled.ticks.map((tick) => ({
          ...tick,
          x: sign * (tick.x - length / 2),
          y: sign * (tick.y - width / 2),
        })),
        characters: (ruled.characters ?? []).map((c) => ({
          character: c.character,
          x: sign * (c.x - length / 2),
          y: sign * (c.y - width / 2),
          topX: sign * (c.topX - length / 2),
          topY: sign * (c.topY - width / 2),
        })),
      });
    }
  });
  const marks: Mark[] = [...bodyMarks([body], style), ...inkMarks(inkRings, style)];
  if (style.material === "clear") marks.push(ink(rim(body, 0.25), grey(0.95), 0.35));
  if (scale.patches) marks.push(...patchMarks(length, width / 2));
  const bend = bendOf(scale.bowMm ?? 0, scale.liftMm ?? 0, length);
  return {
    marks,
    shadow: {
      rings: [body],
      heightMm: style.material === "paper" || style.material === "adhesive" ? 0.25 : 1,
      opacity: style.material === "clear" ? 0.12 : 1,
    },
    wraps: scale.wraps ?? false,
    ...(bend ? { bend } : {}),
    edges,
    facts: {
      material: style.material,
      polarity: style.polarity,
      bowMm: scale.bowMm ?? 0,
      liftMm: scale.liftMm ?? 0,
    },
  };
}

function rim(body: Ring, width: number): Ring[] {
  const inner = new Float64Array(body.length);
  for (let i = 0; i < body.length; i += 2) {
    const x = body[body.length - 2 - i]!;
    const y = body[body.length - 1 - i]!;
    inner[i] = x - Math.sign(x) * width;
    inner[i + 1] = y - Math.sign(y) * width;
  }
  return [body, inner];
}

/** One edge with mm 0 at (0, 0), running along +x, its ticks growing towards +y. */
function edgeArt(
  edge: GraduationName | Blocks,
  name: string,
  scale: StraightScale,
  style: ScaleStyle,
): EdgeArt {
  if (typeof edge === "string") return tickArt(GRADUATIONS[edge], name, scale, style);
  return blockArt(edge, name, scale, style);
}

function tickArt(graduation: Graduation, name: string, scale: StraightScale, style: ScaleStyle): EdgeArt {
  const ticks = ticksOf(graduation, scale.lengthMm, name === "first" ? scale.missingTicks : []);
  const gap = style.edgeGapMm;
  const rings: Ring[] = [];
  const half = style.tickWidthMm / 2;
  const shortest = graduation.ranks[0]!.lengthMm;
  const longest = graduation.ranks.at(-1)!.lengthMm;
  for (const tick of ticks) {
    if (!tick.missing) rings.push(rect(tick.mm - half, gap, tick.mm + half, gap + tick.lengthMm));
  }
  if (style.baseLine) rings.push(rect(-half, gap - half, scale.lengthMm + half, gap + half));
  const lettered = lettering(graduation, ticks.length, gap + longest, scale, style);
  rings.push(...lettered.rings);
  return {
    ink: rings,
    ruled: [
      {
        edge: name,
        unit: graduation.unit,
        stepMm: graduation.stepMm,
        ticks: ticks.map(({ mm, rank, missing }) => ({ mm, x: mm, y: gap + shortest / 2, rank, missing })),
        characters: lettered.characters,
      },
    ],
  };
}

interface Lettered {
  readonly rings: Ring[];
  readonly characters: CharacterPlace[];
}

function lettering(
  graduation: Graduation,
  count: number,
  below: number,
  scale: StraightScale,
  style: ScaleStyle,
): Lettered {
  const lettered: Lettered = { rings: [], characters: [] };
  if (style.numerals === "none") return lettered;
  const cap = style.numeralHeightMm;
  const turnDeg = style.numerals === "inverted" ? 180 : style.numerals === "along" ? 90 : 0;
  const how = { font: style.font, capHeightMm: cap, turnDeg } as const;
  const y = below + 0.9 + cap / 2;
  const add = (text: string, x: number, capHeightMm: number): void => {
    lettered.rings.push(...letter(text, x, y, { ...how, capHeightMm }));
    lettered.characters.push(...characterPlaces(text, x, y, { ...how, capHeightMm }));
  };
  for (let index = 0; index < count; index += graduation.numeralEvery) {
    const value = String((index / graduation.numeralEvery) * graduation.numeralStep);
    add(value, index * graduation.stepMm, cap);
  }
  if (scale.word ?? true) {
    add(
      typeof scale.word === "string" ? scale.word : graduation.word,
      Math.min(scale.lengthMm / 2, graduation.stepMm * graduation.numeralEvery * 0.5),
      cap * 0.8,
    );
  }
  return lettered;
}

function blockArt(blocks: Blocks, name: string, scale: StraightScale, style: ScaleStyle): EdgeArt {
  const height = 3.2;
  const gap = style.edgeGapMm;
  const rings: Ring[] = [];
  const count = Math.floor(scale.lengthMm / blocks.blockMm + 1e-6);
  const ticks = [];
  const fine: RuledEdge[] = [];
  const characters: CharacterPlace[] = [];
  const how = { font: style.font, capHeightMm: style.numeralHeightMm };
  const add = (text: string, x: number): void => {
    rings.push(...letter(text, x, gap + height + 4.2, how));
    characters.push(...characterPlaces(text, x, gap + height + 4.2, how));
  };
  for (let i = 0; i <= count; i++) {
    const x = i * blocks.blockMm;
    ticks.push({ mm: x, x, y: gap + height / 2, rank: 0, missing: false });
    if (i < count && i % 2 === 0) rings.push(rect(x, gap, x + blocks.blockMm, gap + height));
    if (style.numerals !== "none") add(String(blocks.numbered === "cm" ? x / 10 : x), x);
  }
  if (scale.word && style.numerals !== "none")
    add(typeof scale.word === "string" ? scale.word : (blocks.numbered ?? "mm"), blocks.blockMm / 2);
  if (blocks.outlined) {
    const w = style.tickWidthMm;
    rings.push(
      rect(0, gap, count * blocks.blockMm, gap + w),
      rect(0, gap + height - w, count * blocks.blockMm, gap + height),
    );
  }
  if (blocks.subdivided) {
    const half = style.tickWidthMm / 2;
    const bars = [];
    for (let mm = 0; mm <= scale.lengthMm + 1e-6; mm++) {
      const isFive = mm % 5 === 0;
      rings.push(rect(mm - half, gap + height, mm + half, gap + height + (isFive ? 2.4 : 1.6)));
      bars.push({ mm, x: mm, y: gap + height + 0.8, rank: isFive ? 1 : 0, missing: false });
    }
    fine.push({ edge: `${name}, fine`, unit: "mm", stepMm: 1, ticks: bars });
  }
  return {
    ink: rings,
    ruled: [{ edge: name, unit: "mm", stepMm: blocks.blockMm, ticks, characters }, ...fine],
  };
}

/** A bow in the plane is an arc that keeps lengths; a lift is the same arc standing up. */
function bendOf(bowMm: number, liftMm: number, lengthMm: number): Bend | null {
  if (bowMm === 0 && liftMm === 0) return null;
  const curvature = (sagitta: number): number =>
    (8 * sagitta) / (lengthMm * lengthMm + 4 * sagitta * sagitta);
  const bow = curvature(bowMm);
  const lift = curvature(liftMm);
  return (x, y, out) => {
    let px = x;
    let py = y;
    let h = 0;
    if (bow !== 0) {
      const angle = x * bow;
      px = Math.sin(angle) / bow - y * Math.sin(angle);
      py = y * Math.cos(angle) + (1 - Math.cos(angle)) / bow;
    }
    if (lift !== 0) {
      const angle = px * lift;
      h = liftMm > 0 ? liftMm - (1 - Math.cos(angle)) / lift : -(1 - Math.cos(angle)) / lift;
      px = Math.sin(angle) / lift;
    }
    out[0] = px;
    out[1] = py;
    out[2] = h;
  };
}
