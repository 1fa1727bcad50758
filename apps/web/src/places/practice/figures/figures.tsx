import type { ShownFigures } from "@samescale/server";
import { useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Field } from "../../../parts/field.tsx";
import { Link } from "../../../parts/link.tsx";
import { Figure } from "../../../parts/number.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import { Bar, SpanBar } from "./bar.tsx";
import { FigureTable } from "./figure-table.tsx";
import own from "./figures.module.css";

const { figures: say } = words.practice;
const DAY = /^\d{4}-\d{2}-\d{2}$/;
const isDay = (text: string) => DAY.test(text) && !Number.isNaN(Date.parse(text));

/** Figures for whoever answers for the department; the days stand in the address. */
export function Figures() {
  const { today } = useAnswer<{ today: string }>("/practice/kit", ["practice"]).data ?? {};
  const [wanted, want] = useSearchParams();
  const to = wanted.get("to") ?? today ?? "";
  const from = wanted.get("from") ?? (to === "" ? "" : `${Number(to.slice(0, 4)) - 1}${to.slice(4, 8)}01`);
  const days = isDay(from) && isDay(to) ? `from=${from}&to=${to}` : null;
  const figures = useAnswer<ShownFigures>(days && `/practice/figures?${days}`, [
    "request",
    "visit",
    "release",
    "verdict",
    "frame",
  ]);
  const set = (next: { from: string; to: string }) => want(next, { replace: true });
  return (
    <PracticePage
      here="figures"
      acts={
        days && (
          <>
            <Button onPress={() => location.assign(`/api/practice/figures.csv?${days}`)}>{say.csv}</Button>
            <Button onPress={() => print()}>{say.print}</Button>
          </>
        )
      }
    >
      <p className={css.text}>{say.says}</p>
      <div className={`${own.head} not-printed`}>
        <div className={own.days}>
          <Field
            label={say.from}
            value={from}
            onChange={(day) => set({ from: day, to })}
            maxLength={10}
            problem={from === "" || isDay(from) ? null : "YYYY-MM-DD"}
          />
        </div>
        <div className={own.days}>
          <Field
            label={say.to}
            value={to}
            onChange={(day) => set({ from, to: day })}
            maxLength={10}
            problem={to === "" || isDay(to) ? null : "YYYY-MM-DD"}
          />
        </div>
      </div>
      {days && <Answered of={figures}>{(one) => <Shown figures={one} />}</Answered>}
    </PracticePage>
  );
}

function Shown({ figures }: { readonly figures: ShownFigures }) {
  const { requests, months, turnaround, judged, causes, viewSets, scalesDue, unplaced } = figures;
  const mostMonth = Math.max(
    1,
    ...months.flatMap(({ asked, visits, released }) => [asked, visits, released]),
  );
  const mostDays = Math.max(1, ...turnaround.map(({ upperQuartile }) => upperQuartile ?? 0));
  const mostCause = Math.max(1, ...causes.map(({ frames }) => frames));
  return (
    <>
      {requests.asked === 0 && (
        <Empty title={say.none}>
          <p>{say.noneSays}</p>
        </Empty>
      )}
      <section className={css.section}>
        <h2>{say.requests}</h2>
        <dl className={own.numbers}>
          <Figure label={say.asked} value={String(requests.asked)} />
          <Figure label={say.done} value={String(requests.done)} />
          <Figure label={say.cancelled} value={String(requests.cancelled)} />
        </dl>
      </section>
      <FigureTable
        title={say.months}
        heads={[say.month, say.askedHead, "", say.visits, say.released]}
        rows={months.map(({ month, asked, visits, released }) => ({
          key: month,
          cells: [
            <span key="month" className={own.whole}>
              {month}
            </span>,
            asked,
            <Bar key="bar" value={asked} most={mostMonth} />,
            visits,
            released,
          ],
        }))}
      />
      <FigureTable
        title={say.turnaround}
        says={say.turnaroundSays}
        heads={[say.span, say.lower, say.median, say.upper, "", say.counted]}
        rows={turnaround.map(({ of, lowerQuartile, median, upperQuartile, count, leftOut }) => ({
          key: of,
          cells: [
            <>
              {say.of[of]}
              {leftOut > 0 && (
                <>
                  <br />
                  <span className={css.small}>{say.leftOut(leftOut)}</span>
                </>
              )}
            </>,
            lowerQuartile === null ? say.none0 : say.days(lowerQuartile),
            median === null ? say.none0 : say.days(median),
            upperQuartile === null ? say.none0 : say.days(upperQuartile),
            median === null ? (
              ""
            ) : (
              <SpanBar key="bar" from={lowerQuartile!} middle={median} to={upperQuartile!} most={mostDays} />
            ),
            count,
          ],
        }))}
      />
      <FigureTable
        title={say.repeats}
        says={say.repeatsSays(judged.repeats, judged.frames)}
        heads={[say.cause, say.frames, ""]}
        rows={causes.map(({ cause, frames }) => ({
          key: cause,
          cells: [say.causes[cause] ?? cause, frames, <Bar key="bar" value={frames} most={mostCause} />],
        }))}
      />
      <FigureTable
        title={say.viewSets}
        heads={[say.viewSet, say.requests, say.judged, say.repeated, ""]}
        rows={viewSets.map(({ key, name, requests: n, judged: frames, repeats }) => ({
          key,
          cells: [name, n, frames, repeats, say.share(repeats, frames)],
        }))}
      />
      <FigureTable
        title={say.scalesDue}
        {...(scalesDue.length === 0 && { says: say.noScales })}
        heads={[]}
        rows={scalesDue.map(({ id, name, dueOn, isDue }) => ({
          key: id,
          cells: [
            name,
            isDue ? <strong key="due">{`○ ${say.isDue} ${dueOn}`}</strong> : `${say.due} ${dueOn}`,
          ],
        }))}
      />
      <section className={css.section}>
        <h2>{say.unplaced}</h2>
        <p>{say.unplacedSays(unplaced.frames, unplaced.oldestOn)}</p>
        {unplaced.frames > 0 && (
          <p>
            <Link to="/card/waiting" look="plain">
              {say.toCard}
            </Link>
          </p>
        )}
      </section>
    </>
  );
}
