import type { OutlineStep } from "@samescale/picture/outline";
import type { OutlineRegion, RegionMeasurement } from "@samescale/picture/planimetry";
import { CasedLine, CasedPoint, ringPath } from "../../../viewer/cased.tsx";
import type { Draft } from "../tools/tool.ts";

/** Outlines over the picture; where the edge is uncertain the line is dashed. */
export function DrawnRegions({
  regions,
  look = "line",
}: {
  readonly regions: readonly OutlineRegion[];
  readonly look?: "line" | "other";
}) {
  return regions.map(({ outline, holes, uncertain = [] }, i) => (
    // biome-ignore lint/suspicious/noArrayIndexKey: regions of one outline have no other name than their place.
    <g key={i} data-region={i}>
      <CasedLine d={[outline, ...holes].map(ringPath).join("")} look={look} />
      {look === "line" && (
        <CasedLine
          d={uncertain.map(({ fromIndex, toIndex }) => stretch(outline, fromIndex, toIndex)).join("")}
          look="guess"
        />
      )}
    </g>
  ));
}

function stretch(ring: OutlineRegion["outline"], from: number, to: number): string {
  const past = to >= from ? to : to + ring.length;
  const points = Array.from({ length: past - from + 1 }, (_, k) => ring[(from + k) % ring.length]!);
  return `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}`;
}

/** Length and width as they were measured. */
export function MeasuredLines({ regions }: { readonly regions: readonly RegionMeasurement[] }) {
  const d = regions
    .flatMap(({ lengthEndsPx, widthEndsPx }) => [lengthEndsPx, widthEndsPx])
    .map(([[x0, y0], [x1, y1]]) => `M${x0} ${y0}L${x1} ${y1}`)
    .join("");
  return <CasedLine d={d} isFine />;
}

/** Where the person pointed. */
export function Clicks({ steps }: { readonly steps: readonly OutlineStep[] }) {
  return steps.map((step, i) =>
    step.do === "click" ? (
      // biome-ignore lint/suspicious/noArrayIndexKey: steps keep their order.
      <CasedPoint key={i} x={step.at[0]} y={step.at[1]} look={step.inside ? "inside" : "outside"} />
    ) : null,
  );
}

/** What the tool in the hand has begun. */
export function DraftShown({ draft: { points, line, radiusPx } }: { readonly draft: Draft }) {
  const d =
    points.length < 2
      ? ""
      : `M${points.map(([x, y]) => `${x} ${y}`).join("L")}${line === "closed" ? "Z" : ""}`;
  if (radiusPx !== undefined) return <BrushShown d={d} points={points} radiusPx={radiusPx} />;
  return (
    <>
      {line !== "none" && <CasedLine d={d} />}
      {points.length < 200 &&
        points.map(([x, y], i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: points keep their order.
          <CasedPoint key={i} x={x} y={y} look={i === points.length - 1 ? "chosen" : "inside"} />
        ))}
    </>
  );
}

function BrushShown({ d, points, radiusPx }: { d: string; points: Draft["points"]; radiusPx: number }) {
  const [x, y] = points.at(-1)!;
  return (
    <>
      <CasedLine d={d} isFine />
      <CasedLine d={circle(x, y, radiusPx)} />
    </>
  );
}

export const circle = (x: number, y: number, r: number): string =>
  `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`;
