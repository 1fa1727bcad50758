import type { MeasureAnswer } from "@samescale/picture/planimetry";
import { Figure } from "../../../parts/number.tsx";
import { words } from "../../../words/index.ts";
import css from "../measure.module.css";
import { Budget } from "./budget.tsx";
import { said } from "./said.ts";

const w = words.measure.figures;

export type Figures = Pick<MeasureAnswer, "regions" | "total" | "method" | "budget" | "warnings">;

/** Area first, each number with its interval, then where the doubt comes from. */
export function FiguresShown({ of, isLaidOut }: { readonly of: Figures; readonly isLaidOut: boolean }) {
  const many = of.regions.length > 1;
  return (
    <div className={css.figures}>
      <div className={css.figureList} data-figures="">
        {of.total && (
          <dl className={css.figureGroup}>
            <Figure label={w.total} {...said(of.total.areaMm2)} unit="mm²" />
          </dl>
        )}
        {of.regions.map((region, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: regions have no other name than their place.
          <dl key={i} className={css.figureGroup}>
            <Figure label={many ? w.areaOf(i + 1) : w.area} {...said(region.areaMm2)} unit="mm²" />
            <Figure label={w.length} {...said(region.lengthMm)} unit="mm" />
            <Figure label={w.width} {...said(region.widthMm)} unit="mm" />
            <Figure label={w.perimeter} {...said(region.perimeterMm)} unit="mm" />
          </dl>
        ))}
      </div>
      <p>
        {isLaidOut ? w.laidOut : w.plane} {w.method[of.method]}
      </p>
      {of.warnings.length > 0 && (
        <div className={css.cautions}>
          <h3>{w.cautions}</h3>
          <ul>
            {of.warnings.map((warning) => (
              <li key={warning}>{warning}</li>
            ))}
          </ul>
        </div>
      )}
      <Budget of={of} />
    </div>
  );
}
