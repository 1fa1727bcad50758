import type { FrameAtMeasure } from "@samescale/server";
import { Button } from "../../../parts/button.tsx";
import { Figure } from "../../../parts/number.tsx";
import { words } from "../../../words/index.ts";
import { ratioSaid, said } from "../figures/said.ts";
import css from "../measure.module.css";

const w = words.measure.reading;

interface ReadingFactsProps {
  readonly reading: FrameAtMeasure["reading"];
  readonly isShown: boolean;
  readonly onShow: (isShown: boolean) => void;
  /** Brings the graduations close. */
  readonly onLook: () => void;
}

/** What the scale said, and what it rests on. */
export function ReadingFacts({ reading, isShown, onShow, onLook }: ReadingFactsProps) {
  if (!reading) return <p>{w.none}</p>;
  const { scale } = reading;
  if (!scale.found) {
    return (
      <div className={css.notFound}>
        <p>
          <strong>{w.notFound}</strong>
        </p>
        <p>{scale.reason}</p>
      </div>
    );
  }
  const { scales, plane, reproductionRatio, warnings } = scale;
  const counts = scales.map(({ ticks }) => ticks.length).join(" + ");
  const [first] = scales;
  const ratioPart = reproductionRatio && {
    value: `1:${ratioSaid(reproductionRatio.value)}`,
    plusMinus: `${((100 * reproductionRatio.u95) / reproductionRatio.value).toFixed(1)} %`,
  };
  return (
    <>
      <p>
        {w.found(counts, w.units[first!.unit])}
        {first?.unitFrom && `, ${w.from[first.unitFrom]}`}.
      </p>
      <dl className={css.figureList}>
        {ratioPart && <Figure label={w.ratio} {...ratioPart} />}
        <Figure label={w.pxPerMm} {...said(first!.pxPerMm)} unit="px/mm" />
      </dl>
      <p>{plane ? w.plane(`${said(plane.tiltDeg).value} ± ${said(plane.tiltDeg).plusMinus}°`) : w.noPlane}</p>
      {warnings.map((warning) => (
        <p key={warning} className={css.warning}>
          {warning}
        </p>
      ))}
      <div className={css.acts}>
        <Button onPress={onLook}>{w.lookAtIt}</Button>
        <Button look="bare" onPress={() => onShow(!isShown)}>
          {isShown ? w.hide : w.show}
        </Button>
      </div>
    </>
  );
}
