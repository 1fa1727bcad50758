import type { SeriesVisitShown } from "@samescale/server";
import { useState } from "react";
import { Button } from "../../parts/button.tsx";
import { CasedPoint } from "../../viewer/cased.tsx";
import { PictureViewer, useScreenScale } from "../../viewer/viewer.tsx";
import { words } from "../../words/index.ts";
import css from "./series.module.css";

const { points: say } = words.series;

type XY = readonly [x: number, y: number];
const LEAST = 3;
const MOST = 12;

/** The same places marked by hand in both pictures, where the skin gave too little. Original pixels, full size. */
export function PlacePoints({
  baseline,
  followup,
  onLay,
  onCancel,
}: {
  readonly baseline: SeriesVisitShown;
  readonly followup: SeriesVisitShown;
  readonly onLay: (points: readonly (readonly [number, number, number, number])[]) => void;
  readonly onCancel: () => void;
}) {
  const [placed, setPlaced] = useState<{
    readonly baseline: readonly XY[];
    readonly followup: readonly XY[];
  }>({
    baseline: [],
    followup: [],
  });
  const pairs = Math.min(placed.baseline.length, placed.followup.length);
  const next = placed.baseline.length <= placed.followup.length ? "baseline" : "followup";
  const n = placed[next].length + 1;
  const place = (side: "baseline" | "followup") => (x: number, y: number) => {
    // One pair after another: a point without its fellow is finished first.
    if (side !== next || n > MOST) return;
    setPlaced((was) => ({ ...was, [side]: [...was[side], [x, y] as const] }));
  };
  const undo = () => {
    const last = placed.baseline.length > placed.followup.length ? "baseline" : "followup";
    setPlaced((was) => ({ ...was, [last]: was[last].slice(0, -1) }));
  };
  return (
    <section className={css.section} aria-labelledby="points">
      <h2 id="points">{say.title}</h2>
      <p>{say.help}</p>
      <p role="status" className={css.sentence}>
        {pairs >= LEAST && placed.baseline.length === pairs ? say.ready(pairs) : say.next(n, say.sides[next])}
      </p>
      <div className={css.pair}>
        {([baseline, followup] as const).map((visit) => {
          const side = visit === baseline ? "baseline" : "followup";
          return (
            <div key={side}>
              <p>
                <strong>{say.sides[side]}</strong> {visit.date}
              </p>
              <PictureViewer
                sha256={visit.frame?.sha256 ?? ""}
                label={`${say.sides[side]} ${visit.date ?? ""}`}
                height="60dvh"
                onPoint={place(side)}
              >
                {placed[side].map(([x, y], i) => (
                  <Numbered key={`${x} ${y}`} x={x} y={y} n={i + 1} />
                ))}
              </PictureViewer>
            </div>
          );
        })}
      </div>
      <div className={css.controls}>
        <Button
          look="chief"
          isDisabled={pairs < LEAST}
          onPress={() =>
            onLay(
              placed.baseline
                .slice(0, pairs)
                .map(([x, y], i) => [x, y, placed.followup[i]![0], placed.followup[i]![1]] as const),
            )
          }
        >
          {say.lay}
        </Button>
        <Button isDisabled={placed.baseline.length === 0} onPress={undo}>
          {say.undo}
        </Button>
        <Button look="bare" onPress={onCancel}>
          {say.cancel}
        </Button>
      </div>
    </section>
  );
}

/** Its number stands beside it, so that fellows are found again. */
function Numbered({ x, y, n }: { readonly x: number; readonly y: number; readonly n: number }) {
  const scale = useScreenScale();
  return (
    <g>
      <CasedPoint x={x} y={y} look="chosen" />
      <text className={css.pointNumber} x={x + 12 / scale} y={y - 8 / scale} fontSize={20 / scale}>
        {n}
      </text>
    </g>
  );
}
