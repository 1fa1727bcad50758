import type { SeriesVisitShown, WholeSeries } from "@samescale/server";
import { useState } from "react";
import { Choices } from "../../parts/choice.tsx";
import { Link } from "../../parts/link.tsx";
import { words } from "../../words/index.ts";
import { ratioText } from "../frames/ratio-text.ts";
import { measuredOf, QUANTITIES, type Quantity, SizeChart, unitOf } from "./chart.tsx";
import { intervalText } from "./interval.ts";
import css from "./series.module.css";

const { series: say } = words;

/** The chart, every number behind it, and in words whether the change is larger than the uncertainty. */
export function Numbers({ series }: { readonly series: WholeSeries }) {
  const [of, setOf] = useState<Quantity>("area");
  const { visits, baselineBefore, changes } = series;
  const isMeasured = visits.some(({ areaMm2 }) => areaMm2 !== null);
  const first = visits.find(({ frame }) => frame)?.frame;
  return (
    <>
      <section className={css.section} aria-labelledby="changes">
        <h2 id="changes">{say.words}</h2>
        {changes.length === 0 ? (
          <p>{say.wordsNone}</p>
        ) : (
          changes.map((sentence) => (
            <p key={sentence} className={css.sentence}>
              {sentence}
            </p>
          ))
        )}
        <p className="quiet">{say.noJudgement}</p>
      </section>
      <section className={css.section}>
        <h2 id="measured">{say.chart.title}</h2>
        {isMeasured ? (
          <>
            <div className="not-printed">
              <Choices
                label={say.chart.of}
                value={of}
                options={QUANTITIES.map((value) => ({ value, label: say.chart[value] }))}
                onChange={setOf}
              />
            </div>
            <SizeChart visits={visits} of={of} baselineBefore={baselineBefore} />
          </>
        ) : (
          <p>
            {say.chart.none} {first && <Link to={`/measure/${first.frameId}`}>{say.chart.toMeasure}</Link>}
          </p>
        )}
        <Table visits={visits} />
        <p className="quiet">
          {say.chart.interval} {baselineBefore && say.chart.baselineBefore(baselineBefore)}
        </p>
      </section>
      <Answers visits={visits} />
    </>
  );
}

function Table({ visits }: { readonly visits: readonly SeriesVisitShown[] }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: scrolled sideways by keys where it does not fit
    <section className={css.tableBox} tabIndex={0} aria-labelledby="measured">
      <table className={css.table}>
        <thead>
          <tr>
            <th scope="col">{say.chart.visit}</th>
            <th scope="col">{say.ratio.read}</th>
            {QUANTITIES.map((of) => (
              <th key={of} scope="col">
                {say.chart[of]} <span className="quiet">{unitOf(of)}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {visits.map((visit) => (
            <tr key={`${visit.visitId} ${visit.date}`}>
              <th scope="row">
                {visit.date ?? say.noDate} {visit.isBaseline && <span className="quiet">{say.baseline}</span>}
              </th>
              {visit.frame && visit.areaMm2 ? (
                <>
                  <td>{visit.ratioRead ? ratioText(visit.ratioRead.value) : "–"}</td>
                  {QUANTITIES.map((of) => {
                    const value = measuredOf(visit, of);
                    return <td key={of}>{value ? intervalText(value) : "–"}</td>;
                  })}
                </>
              ) : (
                <>
                  <td>{visit.ratioRead ? ratioText(visit.ratioRead.value) : "–"}</td>
                  <td colSpan={QUANTITIES.length} className="quiet">
                    {visit.noPicture ?? visit.notMeasured}
                  </td>
                </>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** Two witnesses that know nothing of each other, side by side. */
function Answers({ visits }: { readonly visits: readonly SeriesVisitShown[] }) {
  const followups = visits.filter(({ frame, isBaseline }) => frame && !isBaseline);
  if (followups.length === 0) return null;
  return (
    <section className={css.section}>
      <h2 id="answers">{say.ratio.title}</h2>
      <p className="quiet">{say.ratio.help}</p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: scrolled sideways by keys where it does not fit */}
      <section className={css.tableBox} tabIndex={0} aria-labelledby="answers">
        <table className={css.table}>
          <thead>
            <tr>
              <th scope="col">{say.chart.visit}</th>
              <th scope="col">{say.ratio.bySkin}</th>
              <th scope="col">{say.ratio.byScales}</th>
              <th scope="col">{say.ratio.doThey}</th>
            </tr>
          </thead>
          <tbody>
            {followups.map(({ visitId, date, sameRatio }) => (
              <tr key={`${visitId} ${date}`}>
                <th scope="row">{date ?? say.noDate}</th>
                {sameRatio ? (
                  <>
                    <td>{`${say.ratio.times} ${intervalText(sameRatio.bySkin)}`}</td>
                    <td>{`${say.ratio.times} ${intervalText(sameRatio.byScales)}`}</td>
                    <td>{sameRatio.agree ? say.ratio.agree : <strong>{say.ratio.apart}</strong>}</td>
                  </>
                ) : (
                  <td colSpan={3} className="quiet">
                    {say.ratio.missing}
                  </td>
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </section>
  );
}
