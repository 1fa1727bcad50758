import type { Framing } from "../answers.ts";

type Numbers = Omit<Framing, "words" | "doNow">;

/** Below these nobody moves a camera: hand-held views repeat no better. Common practice, no source. */
const SAME_SIZE = 0.01;
const SAME_TURN_DEG = 1;
const SAME_AIM = 0.02;
/** A curved subject feigns a few degrees of another viewpoint. */
const SAME_SIDE_DEG = 4;
/** A zoom lens is set back to within this; files round the focal length. */
const SAME_FOCAL = 0.03;

/** What is different, as one would say it: "nearer by 4 cm". Empty where it was framed alike. */
export function inWords(n: Numbers): string[] {
  const said: string[] = [];
  const { side, zoom, turn, aim, distance } = differences(n);
  if (side)
    said.push(`seen from ${side.map(([deg, way]) => `${whole(deg)}° further ${PLACE[way]}`).join(" and ")}`);
  if (turn) said.push(`turned ${whole(turn.deg)}° ${turn.clockwise ? "clockwise" : "anticlockwise"}`);
  if (aim) said.push(`aimed ${aim.map(([much, way]) => `${much} too far ${WAY[way]}`).join(" and ")}`);
  if (zoom) said.push(`at ${zoom.is} mm focal length instead of ${zoom.was} mm`);
  if (distance) said.push(distance.said);
  return said;
}

/** What to do now so that the next picture is framed as the baseline was, in the order in which it is done. */
export function doNow(n: Numbers): string[] {
  const steps: string[] = [];
  const { side, zoom, turn, aim, distance } = differences(n);
  if (zoom) steps.push(`Set the focal length to ${zoom.was} mm.`);
  if (side) {
    const swings = side.map(([deg, way]) => `${whole(deg)}° ${PLACE[OPPOSITE[way]]}`);
    steps.push(`Swing the camera round the subject by ${swings.join(" and ")}, aiming at the same spot.`);
  }
  if (turn)
    steps.push(`Turn the camera ${whole(turn.deg)}° ${turn.clockwise ? "anticlockwise" : "clockwise"}.`);
  if (aim)
    steps.push(`Aim ${aim.map(([much, way]) => `${much} further ${WAY[OPPOSITE[way]]}`).join(" and ")}.`);
  if (distance) steps.push(distance.move);
  return steps;
}

type Way = "left" | "right" | "up" | "down";
const OPPOSITE = { left: "right", right: "left", up: "down", down: "up" } as const;
/** Directions are the picture's, not the room's: a camera over a couch has its top somewhere else each time. */
const WAY = { left: "left", right: "right", up: "up", down: "down" } as const;
const PLACE = {
  left: "to the left",
  right: "to the right",
  up: "towards the picture's top",
  down: "towards the picture's bottom",
} as const;

function differences(n: Numbers) {
  const zoomed =
    n.focalMm !== null && Math.abs(n.focalMm.followup / n.focalMm.baseline - 1) > SAME_FOCAL
      ? n.focalMm
      : null;
  const side = n.seenFromDeg ? bothWays(n.seenFromDeg.right, n.seenFromDeg.below, SAME_SIDE_DEG) : [];
  const turned = Math.abs(n.cameraTurnedDeg) >= SAME_TURN_DEG;
  return {
    side: side.length > 0 ? side : null,
    zoom: zoomed && { was: whole(zoomed.baseline), is: whole(zoomed.followup) },
    turn: turned ? { deg: Math.abs(n.cameraTurnedDeg), clockwise: n.cameraTurnedDeg > 0 } : null,
    aim: aimOff(n),
    distance: distanceOff(n, zoomed !== null),
  };
}

function bothWays(x: number, y: number, least: number): (readonly [much: number, way: Way])[] {
  const ways = [
    [Math.abs(x), x > 0 ? "right" : "left"],
    [Math.abs(y), y > 0 ? "down" : "up"],
  ] as const;
  return ways.filter(([much]) => much >= least);
}

function aimOff({ aimedOffFraction: share, aimedOffMm: mm }: Numbers) {
  const off = bothWays(share.x, share.y, SAME_AIM);
  if (off.length === 0) return null;
  return off.map(([fraction, way]) => {
    const sideways = way === "left" || way === "right";
    const much = mm
      ? length(Math.abs(sideways ? mm.x.value : mm.y.value))
      : `${whole(100 * fraction)} % of the picture's ${sideways ? "width" : "height"}`;
    return [much, way] as const;
  });
}

function distanceOff(n: Numbers, isZoomed: boolean) {
  const nearer = n.nearerMm?.value ?? null;
  const isSame = Math.abs(n.timesAsLarge - 1) < SAME_SIZE;
  if (nearer !== null && !(isSame && !isZoomed)) {
    const [much, isNearer] = [length(Math.abs(nearer)), nearer > 0];
    return {
      said: `${isNearer ? "nearer" : "further"} by ${much}`,
      move: `Move ${much} ${isNearer ? "back" : "closer"}.`,
    };
  }
  if (isSame || isZoomed) return null;
  const isLarger = n.timesAsLarge > 1;
  return {
    said: `${n.timesAsLarge.toFixed(2)} times as large in the frame`,
    move: `Move ${isLarger ? "back" : "closer"} until the subject is ${sizeWanted(1 / n.timesAsLarge)} in the frame than now.`,
  };
}

function sizeWanted(times: number): string {
  if (times > 1.5) return `${times.toFixed(1)} times larger`;
  if (times < 1 / 1.5) return `${(1 / times).toFixed(1)} times smaller`;
  return `${whole(100 * Math.abs(times - 1))} % ${times > 1 ? "larger" : "smaller"}`;
}

const whole = (v: number) => String(Math.round(v));

/** Millimetres up to 2 cm, half centimetres up to 10, whole ones beyond: as finely as a hand can follow. */
function length(mm: number): string {
  if (mm < 20) return `${whole(mm)} mm`;
  if (mm < 100) return `${Math.round(mm / 5) / 2} cm`;
  return `${whole(mm / 10)} cm`;
}
