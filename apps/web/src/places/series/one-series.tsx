import type { SeriesVisitShown, WholeSeries, WindowShown } from "@samescale/server";
import { useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import { ask } from "../../api/client.ts";
import { useAct, useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { Checkbox } from "../../parts/checkbox.tsx";
import { Choice, Choices } from "../../parts/choice.tsx";
import { Empty } from "../../parts/empty.tsx";
import { JobProgress } from "../../parts/job-progress.tsx";
import { Link } from "../../parts/link.tsx";
import { useKeys } from "../../shell/keys.ts";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { useMe } from "../../shell/session.tsx";
import { words } from "../../words/index.ts";
import { type SeriesAddress, type useSeriesAddress, WAYS, type Way } from "./address.ts";
import { Numbers } from "./numbers.tsx";
import { PlacePoints } from "./points.tsx";
import { ReportDialog } from "./report.tsx";
import css from "./series.module.css";
import { Notes, Strip } from "./strip.tsx";
import { Blink, Difference, SideBySide, Split } from "./ways.tsx";
import { type SeriesWindow, windowPath } from "./window-url.ts";

const { series: say } = words;
type Change = ReturnType<typeof useSeriesAddress>[1];
type Points = readonly (readonly [number, number, number, number])[];

export interface OneSeriesProps {
  readonly series: WholeSeries;
  readonly address: SeriesAddress;
  readonly change: Change;
}

/** One view of one request over its visits. */
export function OneSeries(props: OneSeriesProps) {
  const { series, change } = props;
  const { request, views, view } = series;
  const { role } = useMe();
  const mayCompare = role === "photographer" || role === "lead";
  const [isReporting, setReporting] = useState(false);
  const comparing = useComparing(request.code, view?.key ?? "");
  const pictures = series.visits.filter(({ frame }) => frame !== null).length;
  return (
    <PlaceFrame
      title={say.title(request.code)}
      acts={
        mayCompare &&
        pictures > 1 && (
          <>
            <Button onPress={() => comparing.start()}>{say.compare}</Button>
            <Button look="chief" onPress={() => setReporting(true)}>
              {say.report.open}
            </Button>
          </>
        )
      }
    >
      <div className={css.place}>
        <p className={css.head}>
          <strong>{request.title}</strong>
          <Link to="/series">{say.all}</Link>
          <Link to={`/requests/${encodeURIComponent(request.code)}`}>{say.request}</Link>
          <Link to={`/frames?request=${encodeURIComponent(request.code)}`}>{say.frames}</Link>
        </p>
        {views.length > 1 && (
          <Choices
            label={say.view}
            value={view?.key ?? null}
            options={views.map(({ key, name, pictures: n }) => ({
              value: key,
              label: say.pictures(name, n),
            }))}
            onChange={(key) => change({ view: key, with: null, points: null })}
          />
        )}
        {comparing.job && <JobProgress key={comparing.job} id={comparing.job} onEnd={comparing.end} />}
        {view === null || pictures === 0 ? (
          <Empty title={say.noView}>
            <p>{say.noViewHelp}</p>
            <Link to={`/requests/${encodeURIComponent(request.code)}`} look="chief">
              {say.request}
            </Link>
          </Empty>
        ) : (
          <>
            <Looking
              {...props}
              code={request.code}
              view={view.key}
              onLay={comparing.start}
              mayCompare={mayCompare}
            />
            <Numbers series={series} />
          </>
        )}
      </div>
      {isReporting && <ReportDialog series={series} onClose={() => setReporting(false)} />}
    </PlaceFrame>
  );
}

function Looking({
  series,
  address,
  change,
  code,
  view,
  onLay,
  mayCompare,
}: OneSeriesProps & {
  readonly code: string;
  readonly view: string;
  readonly mayCompare: boolean;
  readonly onLay: (points?: { readonly frameId: string; readonly points: Points }) => void;
}) {
  const window: SeriesWindow = { code, view, part: address.part, colours: address.colours };
  const size = useAnswer<WindowShown>(windowPath(window), [
    "series",
    "frame",
    "reading",
    "outline",
    "measurement",
  ]);
  const { visits, comparedAt, isStale } = series;
  const baseline = visits.find(({ isBaseline }) => isBaseline) ?? null;
  const followups = visits.filter(({ frame, isBaseline }) => frame !== null && !isBaseline);
  const followup = followups.find(({ frame }) => frame?.frameId === address.with) ?? followups.at(-1) ?? null;
  const step = (by: -1 | 1) => {
    const at = followup ? followups.indexOf(followup) : -1;
    const next = followups[at + by];
    if (next?.frame) change({ with: next.frame.frameId });
  };
  const go = (way: Way) => change({ way: way === "strip" ? null : way, points: null });
  useKeys(say.keys.title, [
    ...WAYS.map((way, i) => ({ key: "asbvd"[i] ?? "", does: say.keys[way], run: () => go(way) })),
    { key: "ArrowLeft", does: say.keys.before, run: () => step(-1) },
    { key: "ArrowRight", does: say.keys.next, run: () => step(1) },
  ]);
  return (
    <section className={css.section} aria-label={say.ways}>
      <p role="status">
        {comparedAt === null ? say.notCompared : say.comparedAt(comparedAt.slice(0, 16).replace("T", " "))}{" "}
        {isStale && <strong>{say.stale}</strong>}
      </p>
      <div className={`${css.controls} not-printed`}>
        <fieldset className={css.ways} aria-label={say.ways}>
          {WAYS.map((way) => (
            <Button
              key={way}
              look={way === address.way ? "chief" : "plain"}
              aria-pressed={way === address.way}
              onPress={() => go(way)}
            >
              {say.way[way]}
            </Button>
          ))}
        </fieldset>
        {address.way !== "strip" && followups.length > 1 && (
          <Choice
            label={say.with}
            value={followup?.frame?.frameId ?? null}
            options={followups.map(({ frame, date }) => ({
              value: frame?.frameId ?? "",
              label: date ?? say.noDate,
            }))}
            onChange={(frameId) => change({ with: frameId })}
          />
        )}
        <Choices
          label={say.partLabel}
          value={address.part}
          options={(["near", "whole"] as const).map((value) => ({ value, label: say.part[value] }))}
          onChange={(part) => change({ part: part === "near" ? null : part })}
        />
        <Checkbox
          isSelected={address.colours === "matched"}
          onChange={(on) => change({ colours: on ? null : "own" })}
        >
          {say.colours} <span className="quiet">{say.coloursHint}</span>
        </Checkbox>
      </div>
      {address.isPointing && baseline && followup?.frame ? (
        <PlacePoints
          key={followup.frame.frameId}
          baseline={baseline}
          followup={followup}
          onCancel={() => change({ points: null })}
          onLay={(points) => {
            onLay({ frameId: followup.frame?.frameId ?? "", points });
            change({ points: null });
          }}
        />
      ) : (
        <Answered of={size}>
          {(shown) =>
            address.way === "strip" ? (
              <Strip
                {...{ visits, window, comparedAt }}
                size={shown}
                onChoose={(frameId) => change({ way: "side", with: frameId })}
              />
            ) : baseline && followup ? (
              <>
                <OneWay way={address.way} {...{ window, comparedAt, baseline, followup }} size={shown} />
                <Notes visit={followup} />
                {mayCompare && (
                  <p>
                    <Button onPress={() => change({ points: "1" })}>{say.points.offer}</Button>
                  </p>
                )}
              </>
            ) : (
              <p>{say.noPictureYet}</p>
            )
          }
        </Answered>
      )}
    </section>
  );
}

function OneWay({
  way,
  ...pair
}: {
  readonly way: Way;
  readonly window: SeriesWindow;
  readonly size: WindowShown;
  readonly comparedAt: string | null;
  readonly baseline: SeriesVisitShown;
  readonly followup: SeriesVisitShown;
}) {
  if (way !== "side" && pair.followup.alignment?.aligned !== true) return <p>{say.needsAligned}</p>;
  const key = pair.followup.frame?.frameId;
  if (way === "blink") return <Blink key={key} {...pair} />;
  if (way === "split") return <Split {...pair} />;
  if (way === "difference") return <Difference {...pair} />;
  return <SideBySide {...pair} />;
}

/** Comparing takes seconds a picture: begun here, followed, and the page is asked anew when it ends. */
function useComparing(code: string, view: string) {
  const client = useQueryClient();
  const [job, setJob] = useState<string | null>(null);
  const begin = useAct((points: { readonly frameId: string; readonly points: Points } | undefined) =>
    ask<{ job: string }>("POST", `/series/${encodeURIComponent(code)}/compare`, {
      view,
      ...(points && { points }),
    }).then((answer) => setJob(answer.job)),
  );
  return {
    job,
    start: (points?: { readonly frameId: string; readonly points: Points }) => begin.mutate(points),
    end: () => void client.invalidateQueries(),
  };
}
