import { parseArgs } from "node:util";
import { applyHomography, jacobianAt } from "../packages/geometry/src/index.ts";
import { alignPictures } from "../packages/picture/src/align/align-pictures.ts";
import { bendAt } from "../packages/picture/src/align/bending.ts";
import { greyOf } from "../packages/picture/src/decode/decode.ts";
import {
  meanErrorPx,
  molesOf,
  type RenderedPair,
  renderedPair,
  scaleOf,
  truthOf,
  VIEWPOINTS_DEG,
  woundOf,
} from "./align/rendered-skin.ts";

/**
 * Alignment on rendered skin of six tones seen from up to 30° to a side, by viewpoint and by tone: the pictures alone, and with
 * wound and scale left out. Mean error over the overlap per 1000 px; "wrong" is more than 10.
 *   node bench/align-rendered.bench.ts [--pairs 36] [--first 1] [--verbose]
 *   node bench/align-rendered.bench.ts --limb    on a limb: error at moles, by the plane alone and bent
 */
const { values } = parseArgs({
  options: {
    pairs: { type: "string", default: "36" },
    first: { type: "string", default: "1" },
    limb: { type: "boolean", default: false },
    verbose: { type: "boolean", default: false },
  },
});
const [pairs, first] = [Number(values.pairs), Number(values.first)];
const out = (line: string) => process.stdout.write(`${line}\n`);
const NOTHING = { baseline: [], followup: [] };
const leftOutOf = ({ baseline, followup }: RenderedPair) => ({
  baseline: [...woundOf(baseline), ...scaleOf(baseline)],
  followup: [...woundOf(followup), ...scaleOf(followup)],
});

if (values.limb) await limbs();
else await planes();

interface Row {
  readonly group: string;
  readonly tone: number;
  readonly how: "alone" | "left out";
  readonly errorPx: number | null;
  readonly isWarned: boolean;
  /** Relative, of the size in the middle. */
  readonly ratioError: number | null;
}

async function planes(): Promise<void> {
  const rows: Row[] = [];
  for (let seed = first; seed < first + pairs; seed++) {
    const pair = await renderedPair(seed);
    const most = VIEWPOINTS_DEG.find((v) => pair.viewpointDeg <= v)!;
    const group = `viewpoint ${most - 10} to ${most}°`;
    const [a, b] = [greyOf(pair.baseline), greyOf(pair.followup)];
    for (const how of ["alone", "left out"] as const) {
      const laid = await alignPictures(a, b, how === "alone" ? NOTHING : leftOutOf(pair));
      const errorPx = laid.aligned ? meanErrorPx(pair, laid.homography) : null;
      const ratioError = laid.aligned ? sizeError(pair, laid.homography) : null;
      const isWarned = laid.aligned && laid.warnings.length > 0;
      rows.push({ group, tone: pair.tone, how, errorPx, isWarned, ratioError });
      if (values.verbose) {
        const says = laid.aligned ? laid.warnings.join("; ") : laid.reason;
        out(
          `  ${seed} ${group}, tone ${pair.tone}, ${how}: ${errorPx?.toFixed(2) ?? "refused"} ${laid.aligned ? `agreement ${laid.agreement.toFixed(2)} ${laid.kind} by ${laid.proposedBy.join(" + ")}` : ""} ${says}`,
        );
      }
    }
  }
  for (const how of ["alone", "left out"] as const) {
    out(how === "alone" ? "pictures alone" : "wound and scale left out");
    const mine = rows.filter((r) => r.how === how);
    for (const group of [...new Set(mine.map((r) => r.group))].sort())
      tell(
        group,
        mine.filter((r) => r.group === group),
      );
    for (let tone = 1; tone <= 6; tone++)
      tell(
        `tone ${tone}`,
        mine.filter((r) => r.tone === tone),
      );
    tell("all", mine);
    const ratios = mine.flatMap((r) => r.ratioError ?? []);
    const rms = Math.sqrt(ratios.reduce((s, v) => s + v * v, 0) / ratios.length);
    out(
      `  size in the middle: error ${(100 * rms).toFixed(3)} % (root mean square), largest ${(100 * Math.max(...ratios.map(Math.abs))).toFixed(3)} %`,
    );
  }
}

function tell(name: string, rows: readonly Row[]): void {
  if (rows.length === 0) return;
  const errors = rows.flatMap((r) => r.errorPx ?? []).sort((p, q) => p - q);
  const within = errors.filter((e) => e <= 2).length;
  const silent = rows.filter((r) => r.errorPx !== null && r.errorPx > 10 && !r.isWarned).length;
  const figures = errors.length
    ? `median ${errors[errors.length >> 1]!.toFixed(2)}, largest ${errors.at(-1)!.toFixed(2)} px, within 2 px ${within}`
    : "";
  out(
    `  ${name.padEnd(24)} ${rows.length}: refused ${rows.length - errors.length}, warned ${rows.filter((r) => r.isWarned).length}, wrong in silence ${silent}, ${figures}`,
  );
}

function sizeError(pair: RenderedPair, found: ReturnType<typeof truthOf>): number {
  const at = { x: pair.followup.widthPx / 2, y: pair.followup.heightPx / 2 };
  const size = (h: typeof found) => {
    const [[a, b], [c, d]] = jacobianAt(h, at);
    return Math.sqrt(Math.abs(a * d - b * c));
  };
  return size(found) / size(truthOf(pair)) - 1;
}

async function limbs(): Promise<void> {
  const all: { plane: number; bent: number }[] = [];
  for (let seed = first; seed < first + pairs; seed++) {
    const pair = await renderedPair(seed, true);
    const laid = await alignPictures(greyOf(pair.baseline), greyOf(pair.followup), leftOutOf(pair), {
      bend: true,
    });
    if (!laid.aligned) {
      out(`  ${seed}: refused, ${laid.reason}`);
      continue;
    }
    const { bending } = laid;
    const places = molesOf(pair).map(({ from, to }) => {
      const p = applyHomography(laid.homography, from);
      const [dx, dy] = bending?.field ? bendAt(bending.field.shifts, bending.field, to.x, to.y) : [0, 0];
      return {
        plane: Math.hypot(p.x - to.x, p.y - to.y),
        bent: Math.hypot(p.x - to.x - dx, p.y - to.y - dy),
      };
    });
    const k = 1000 / pair.baseline.widthPx;
    const mean = (key: "plane" | "bent") => (k * places.reduce((s, p) => s + p[key], 0)) / places.length;
    const row = { plane: mean("plane"), bent: mean("bent") };
    all.push(row);
    out(
      `  ${seed} viewpoint ${pair.viewpointDeg.toFixed(0)}°, tone ${pair.tone}, ${places.length} moles: plane ${row.plane.toFixed(2)} px, ${bending?.used ? `bent ${row.bent.toFixed(2)} px (up to ${(k * bending.maxPx).toFixed(1)} px)` : `not bent: ${bending?.why}`}${laid.warnings.length ? ", warned" : ""}`,
    );
  }
  const median = (key: "plane" | "bent") => all.map((r) => r[key]).sort((p, q) => p - q)[all.length >> 1];
  out(`limb: median ${median("plane")?.toFixed(2)} px by the plane, ${median("bent")?.toFixed(2)} px bent`);
}
