import { diagonalMm, FRAME_36X24 } from "@samescale/optics";
import type { FrameReading } from "./frame-seen.ts";
import { FINE, type Judged, type Judgement, type Judging, judged, notJudged } from "./judgement.ts";

/** Of small pictures: what the measure of blur tells of sharp ones (docs/methods/bedside.md). */
const LEAST_BLUR_PX = 3.5;
/** Pores, hairs and rims are no sharper than this themselves, which shows at life size. Assumed. */
const SKIN_SOFT_MM = 0.1;

/** Sharpness of the subject. A scale that is sharp in front of an unsharp subject is told apart. */
export function judgeFocus({ planned, seen: { look, reading }, tolerances }: Judging): Judged {
  if (!look) return FINE;
  const { subject, scale } = look.focus;
  if (!subject.judged) return notJudged(`focus: ${subject.why}`);
  const blurMm = onFullFrame(subject.blurPx.value, reading);
  const u95 = onFullFrame(subject.blurPx.u95, reading);
  const ownMm = Math.hypot(tolerances.blurMm, SKIN_SOFT_MM * planned.magnification);
  const allowedMm = Math.max(ownMm, onFullFrame(LEAST_BLUR_PX, reading));
  if (blurMm <= allowedMm) return FINE;
  const scaleIsSharp = scale.judged && onFullFrame(scale.blurPx.value, reading) <= allowedMm;
  const moved = subject.motion !== null;
  return judged({
    finding: { what: "focus", blurMm, on: scaleIsSharp ? "subject" : "nothing", moved },
    weighs: blurMm - u95 > allowedMm ? "repeat" : "your-choice",
    say: moved
      ? "It moved while the shutter was open: hold still and take it again"
      : scaleIsSharp
        ? "Only the scale is sharp: focus on the subject"
        : "It is not sharp: focus on the subject",
  });
}

/** A length in the picture as it would be on the 36 x 24 mm frame, for which circles of confusion are named. */
function onFullFrame(px: number, { widthPx, heightPx }: FrameReading): number {
  return (px / Math.hypot(widthPx, heightPx)) * diagonalMm(FRAME_36X24);
}

/** Exposure of the skin: what is burnt out or blocked cannot be brought back. */
export function judgeExposure({ seen: { look, baseline }, tolerances }: Judging): Judged {
  if (!look) return FINE;
  const { exposure } = look;
  if (!exposure.judged) return notJudged(`exposure: ${exposure.why}`);
  const burnt = 100 * (exposure.burntOut.share - exposure.burntOut.glareShare);
  const blocked = 100 * exposure.blocked;
  if (burnt > tolerances.burntOutPercent) {
    return judged({
      finding: { what: "exposure", burntOut: burnt / 100 },
      weighs: burnt > 2 * tolerances.burntOutPercent ? "repeat" : "your-choice",
      say: `Less light: ${burnt < 1 ? burnt.toFixed(1) : Math.round(burnt)} % of the subject is burnt out`,
    });
  }
  const off = stopsOff(exposure, baseline ?? null);
  if (off !== null && Math.abs(off.stops) > tolerances.exposureStops) {
    const amount = Math.abs(off.stops).toFixed(1);
    return judged({
      finding: { what: "exposure", stops: off.stops },
      weighs: Math.abs(off.stops) - off.u95 > 2 * tolerances.exposureStops ? "repeat" : "your-choice",
      say: `${off.stops > 0 ? "Less" : "More"} light by ${amount} stops${off.by === "baseline" ? " to match the baseline" : ""}`,
    });
  }
  if (blocked > tolerances.blockedPercent) {
    return judged({
      finding: { what: "exposure", blocked: blocked / 100 },
      weighs: "your-choice",
      say: `More light: ${Math.round(blocked)} % of the subject is black`,
    });
  }
  // White paper burns out before skin does: worth knowing, and nothing is lost of the subject.
  if (exposure.stops.judged && exposure.stops.isAtLeast) {
    return judged({
      finding: { what: "exposure", stops: exposure.stops.value },
      weighs: "note",
      say: "The scale's white is burnt out",
    });
  }
  return off === null && !exposure.stops.judged
    ? notJudged(`exposure in stops: ${exposure.stops.why}`)
    : FINE;
}

function stopsOff(
  exposure: Extract<NonNullable<Judging["seen"]["look"]>["exposure"], { judged: true }>,
  baseline: Judging["seen"]["baseline"] | null,
): { stops: number; u95: number; by: "scale" | "baseline" } | null {
  const byBaseline =
    baseline?.judged && baseline.brighterStops !== null
      ? ({ stops: baseline.brighterStops, u95: 0.2, by: "baseline" } as const)
      : null;
  if (!exposure.stops.judged) return byBaseline;
  const { value: stops, u95, isAtLeast } = exposure.stops;
  // A white that has burnt out says "at least": the skin of the baseline says how much.
  return isAtLeast && byBaseline && byBaseline.stops > stops ? byBaseline : { stops, u95, by: "scale" };
}

/** Orientation of the frame, what is cut off, and how far it is aimed beside the baseline. */
export function judgeFraming({ planned: { view }, seen, tolerances }: Judging): Judged {
  const { reading, look, baseline } = seen;
  const judgements: Judgement[] = [];
  const missing: string[] = [];
  const held = reading.heightPx > reading.widthPx ? "portrait" : "landscape";
  const { orientation } = view;
  if (orientation !== "either" && held !== orientation && reading.heightPx !== reading.widthPx) {
    judgements.push({
      finding: { what: "framing", turn: orientation },
      weighs: "your-choice",
      say: `Turn the camera: this view is ${orientation}`,
    });
  }
  if (look) {
    const { bordersCrossed } = view;
    if (!look.subject.judged) missing.push(`framing: ${look.subject.why}`);
    else if (look.subject.distinctness < LEAST_DISTINCT) missing.push(`framing: ${NOT_DISTINCT}`);
    else if (bordersCrossed !== undefined) {
      const cut = cutAt(look.subject.runsOut);
      if (cut.length > bordersCrossed) {
        const sides = bordersCrossed === 0 ? ` at the ${cut.map(sideWord).join(" and ")}` : "";
        judgements.push({
          finding: { what: "framing", cut },
          weighs: "repeat",
          say: `The subject is cut off${sides}: aim so that all of it is in the frame`,
        });
      } else judgements.push(...offCentre(look.subject, bordersCrossed, tolerances.aimedOffPercent));
    }
  }
  if (baseline?.judged) {
    judgements.push(...aimedOff(baseline.aimedOff, tolerances.aimedOffPercent, " to match the baseline"));
    const { seenFromDeg } = baseline;
    if (seenFromDeg && Math.hypot(seenFromDeg.right, seenFromDeg.below) > 2 * tolerances.leanDeg) {
      judgements.push({
        finding: { what: "framing", seenFromDeg },
        weighs: "your-choice",
        say: `The baseline was made from another side, ${Math.round(Math.hypot(seenFromDeg.right, seenFromDeg.below))}° away`,
      });
    }
  } else if (baseline) missing.push(`against the baseline: ${baseline.why}`);
  return { judgements, notJudged: missing };
}

/** On wood and pink sheets the subject's edge is wrong; plain cloths give 0.6 and more (docs/methods/bedside.md). */
const LEAST_DISTINCT = 0.5;
const NOT_DISTINCT = "the subject does not stand out from what is behind it";

/** Less of a border than this is an edge that grazes it. */
const LEAST_CUT = 0.03;

type Side = "left" | "top" | "right" | "bottom";
const cutAt = (runsOut: Readonly<Record<Side, number>>): Side[] =>
  (["left", "top", "right", "bottom"] as const).filter((side) => runsOut[side] > LEAST_CUT);
const sideWord = (side: Side): string => (side === "left" || side === "right" ? side : `${side} edge`);

/** Only a subject that is whole in the frame has its middle where it is aimed. */
function offCentre(
  subject: { readonly fillsFrame: boolean; readonly offCentre: { readonly x: number; readonly y: number } },
  bordersCrossed: number,
  percent: number,
): Judgement[] {
  if (subject.fillsFrame || bordersCrossed > 0) return [];
  // The subject lies right of the middle: the camera is aimed too far left.
  return aimedOff({ x: -subject.offCentre.x, y: -subject.offCentre.y }, percent, "");
}

function aimedOff(off: { readonly x: number; readonly y: number }, percent: number, to: string): Judgement[] {
  const far = 100 * Math.max(Math.abs(off.x), Math.abs(off.y));
  if (far <= percent) return [];
  const ways = [
    Math.abs(100 * off.x) > percent / 2 ? (off.x > 0 ? "left" : "right") : null,
    Math.abs(100 * off.y) > percent / 2 ? (off.y > 0 ? "up" : "down") : null,
  ].filter((way) => way !== null);
  return [
    {
      finding: { what: "framing", aimedOff: off },
      weighs: "your-choice",
      say: `Aim further ${ways.join(" and ")} by ${Math.round(far)} % of the frame${to}`,
    },
  ];
}

/**
 * Turn of the camera about its axis: against the baseline where there is one. A scale that lies askew may have been laid
 * so: that alone is no reason against a frame.
 */
export function judgeRoll({ seen: { look, baseline }, tolerances }: Judging): Judged {
  const turned = baseline?.judged ? { deg: baseline.turnedDeg, to: " to match the baseline" } : null;
  const scale = look?.roll.judged ? { deg: -look.roll.deg.value, to: " until the scale is straight" } : null;
  const roll = turned ?? scale;
  if (!roll || Math.abs(roll.deg) <= tolerances.rollDeg) return FINE;
  return judged({
    finding: { what: "roll", deg: roll.deg },
    weighs: turned ? "your-choice" : "note",
    say: `Turn the camera ${Math.round(Math.abs(roll.deg))}° ${roll.deg > 0 ? "anticlockwise" : "clockwise"}${roll.to}`,
  });
}

export function judgeChart({ seen: { chart } }: Judging): Judged {
  if (!chart) return FINE;
  if (!chart.judged) {
    return judged({
      finding: { what: "chart", says: chart.why },
      weighs: "your-choice",
      say: "The colour chart is not in the frame, or too little of it",
    });
  }
  if (chart.usable) return FINE;
  const says = chart.says ?? "it cannot be used";
  return judged({
    finding: { what: "chart", says },
    weighs: "your-choice",
    say: `The colour chart: ${says}`,
  });
}

/** A mirror view has its numerals turned over, any other view has not. */
export function judgeMirrored({ planned: { view }, seen: { reading } }: Judging): Judged {
  const { mirrored = null } = reading;
  if (mirrored === null || mirrored === view.mirrored) return FINE;
  return judged({
    finding: { what: "mirrored", planned: view.mirrored },
    weighs: "your-choice",
    say: view.mirrored
      ? "This view is made in the mirror, and the picture is not"
      : "The picture is turned over as in a mirror",
  });
}

export function judgeBackdrop({ planned: { view }, seen: { look }, tolerances }: Judging): Judged {
  if (!look?.backdrop.judged) return FINE;
  if (view.lens === "portrait") return notJudged("backdrop: clothes cannot be told from it");
  if (look.subject.judged && look.subject.distinctness < LEAST_DISTINCT) {
    return notJudged(`backdrop: ${NOT_DISTINCT}`);
  }
  const { unevennessStops, creases, shadowStops } = look.backdrop;
  if (creases > tolerances.backdropCreases) {
    return judged({
      finding: { what: "backdrop", creases },
      weighs: "your-choice",
      say: "Smooth the cloth behind: it is creased",
    });
  }
  if (shadowStops > tolerances.backdropShadowStops) {
    return judged({
      finding: { what: "backdrop", shadowStops },
      weighs: "your-choice",
      say: "A hard shadow falls on the cloth behind: move the subject from it, or the light",
    });
  }
  if (unevennessStops > tolerances.backdropUnevenStops) {
    return judged({
      finding: { what: "backdrop", unevenStops: unevennessStops },
      weighs: "your-choice",
      say: `The cloth behind is lit unevenly, by ${unevennessStops.toFixed(1)} stops`,
    });
  }
  return FINE;
}

/** The side of the light decides what texture shows: the same at every visit. */
export function judgeLight({ seen: { baseline }, tolerances }: Judging): Judged {
  if (!baseline?.judged || baseline.lightTurnedDeg === null) return FINE;
  const turned = Math.abs(baseline.lightTurnedDeg);
  if (turned <= tolerances.lightTurnDeg) return FINE;
  return judged({
    finding: { what: "light", turnedDeg: baseline.lightTurnedDeg },
    weighs: "your-choice",
    say: `The light comes from another side than at the baseline, by ${Math.round(turned)}°`,
  });
}
