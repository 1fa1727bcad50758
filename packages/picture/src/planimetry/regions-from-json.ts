import { SamescaleError } from "@samescale/errors";
import { namedFaults } from "@samescale/geometry";
import type { OutlineRegion, XY } from "../answers.ts";

/** More than any outline needs; larger files are not what they claim to be. */
const MOST_REGIONS = 200;
const MOST_POINTS = 100_000;

/**
 * Regions from parsed JSON that nobody vouches for: `{"outline": [[x, y], …], "holes": [[[x, y], …], …]}`, a list of
 * such, or a line of `samescale outline --json`.
 * @param where what to name in errors
 * @throws OUTLINE_NOT_UNDERSTOOD
 */
export function regionsFromJson(value: unknown, where: string): OutlineRegion[] {
  const fault = (what: string) =>
    new SamescaleError(
      "OUTLINE_NOT_UNDERSTOOD",
      `${where}: ${what}`,
      'Expected {"outline": [[x, y], …], "holes": […]}, a list of such, a line printed by samescale outline, or a mask PNG.',
    );
  const list = listOf(value, fault);
  if (list.length === 0) throw fault("no region in it");
  if (list.length > MOST_REGIONS) throw fault(`${list.length} regions, more than ${MOST_REGIONS}`);
  let points = 0;
  const ring = (given: unknown, name: string): XY[] => {
    if (!Array.isArray(given)) throw fault(`${name} is not a list of points`);
    points += given.length;
    if (points > MOST_POINTS) throw fault(`more than ${MOST_POINTS} points`);
    return given.map((p: unknown, i): XY => {
      const isPoint =
        Array.isArray(p) && p.length === 2 && p.every((v) => typeof v === "number" && Number.isFinite(v));
      if (!isPoint) throw fault(`${name}, point ${i + 1} is not two numbers`);
      return [p[0] as number, p[1] as number];
    });
  };
  return list.map((region, k) => {
    const name = list.length > 1 ? `region ${k + 1}` : "the region";
    if (!isRecord(region)) throw fault(`${name} is not an object with an outline`);
    const holes = region.holes ?? [];
    if (!Array.isArray(holes)) throw fault(`the holes of ${name} are not a list`);
    const { edgeUPx } = region;
    return {
      outline: ring(region.outline, `the outline of ${name}`),
      holes: holes.map((hole: unknown, i) => ring(hole, `hole ${i + 1} of ${name}`)),
      ...(typeof edgeUPx === "number" && edgeUPx >= 0 && edgeUPx < 1e4 ? { edgeUPx } : {}),
    };
  });
}

function listOf(value: unknown, fault: (what: string) => SamescaleError): readonly unknown[] {
  if (Array.isArray(value)) return value;
  if (!isRecord(value)) throw fault("neither a region nor a list of regions");
  if (!("regions" in value)) return [value];
  if (!Array.isArray(value.regions)) throw fault("its regions are not a list");
  if (value.regions.length === 0 && typeof value.reason === "string") {
    throw fault(`nothing was outlined (${value.reason.slice(0, 200)})`);
  }
  return value.regions;
}

const isRecord = (v: unknown): v is Readonly<Record<string, unknown>> =>
  typeof v === "object" && v !== null && !Array.isArray(v);

/**
 * The same regions, ready to be measured: a repeated first point and points that repeat their neighbour are dropped.
 * @throws OUTLINE_CANNOT_BE_MEASURED when a region crosses itself, has too few points, has a hole outside it or lies
 *   beyond the picture
 */
export function checkedRegions(
  regions: readonly OutlineRegion[],
  picture: { readonly widthPx: number; readonly heightPx: number },
) {
  return regions.map((region, k) => {
    const drawn = {
      outline: pointsOf(region.outline),
      holes: region.holes.map(pointsOf),
      ...(region.edgeUPx === undefined ? {} : { edgeUPx: region.edgeUPx }),
    };
    const beyond = [drawn.outline, ...drawn.holes]
      .flat()
      .find(
        ({ x, y }) =>
          !(
            x >= -SLACK_PX &&
            y >= -SLACK_PX &&
            x <= picture.widthPx + SLACK_PX &&
            y <= picture.heightPx + SLACK_PX
          ),
      );
    const faults = beyond
      ? [
          `the point ${beyond.x},${beyond.y} lies outside the picture of ${picture.widthPx} x ${picture.heightPx} px`,
        ]
      : namedFaults(drawn);
    if (faults.length > 0) {
      throw new SamescaleError(
        "OUTLINE_CANNOT_BE_MEASURED",
        `${regions.length > 1 ? `Region ${k + 1}: ` : ""}${faults.slice(0, 3).join("; ")}`,
        "Draw the outline again: closed, without crossing itself, holes inside it, all of it in this picture.",
      );
    }
    return drawn;
  });
}

/** Outlines that follow the border may overshoot it by rounding. */
const SLACK_PX = 1;

function pointsOf(ring: readonly XY[]) {
  const points = ring.map(([x, y]) => ({ x, y }));
  return points.filter((p, i) => {
    const before = points[(i + points.length - 1) % points.length]!;
    return points.length < 2 || p.x !== before.x || p.y !== before.y;
  });
}
