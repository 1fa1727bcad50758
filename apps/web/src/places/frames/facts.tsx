import type { FrameFacts } from "@samescale/server";
import type { ReactNode } from "react";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Link } from "../../parts/link.tsx";
import { Figure } from "../../parts/number.tsx";
import { Verdict } from "../../parts/verdict.tsx";
import { words } from "../../words/index.ts";
import css from "./facts.module.css";
import { ratioText, timeText } from "./ratio-text.ts";

const { facts: say } = words.frames;
const TOPICS = [
  "frame",
  "verdict",
  "reading",
  "outline",
  "measurement",
  "consent",
  "capacity",
  "request",
  "clock",
];

/** What is known of one frame: judged, measured, when, whose, how far consent reaches, what its file says. */
export function Facts({ frameId }: { readonly frameId: string | null }) {
  const facts = useAnswer<FrameFacts>(frameId && `/frames/${frameId}`, TOPICS);
  if (frameId === null) return <p className="quiet">{say.nothing}</p>;
  return <Answered of={facts}>{(frame) => <Known frame={frame} />}</Answered>;
}

function Known({ frame }: { readonly frame: FrameFacts }) {
  const { request, visit, ratioRead, ratioPlanned, leanDeg, areaMm2 } = frame;
  return (
    <article className={css.facts} aria-label={say.title}>
      <header>
        <h2>{frame.name}</h2>
        {frame.kind === "picture" && <Verdict verdict={frame.verdict ?? "not-judged"} large />}
        {frame.kind === "label" && <p>{words.frames.label}</p>}
        {frame.say && <p className={css.say}>{frame.say}</p>}
        {frame.checkSaid && (
          <p className="quiet">
            {say.checkSaid}: {frame.checkSaid}
          </p>
        )}
        {frame.asideBecause && <p>{say.asideBecause(frame.asideBecause)}</p>}
      </header>
      {frame.note !== null && (
        <div className={css.note}>
          <h3>{say.note}</h3>
          <p>{frame.note}</p>
          {frame.noteBy && <p className="quiet">{say.noteBy(frame.noteBy.by, timeText(frame.noteBy.at))}</p>}
        </div>
      )}
      {frame.kind === "picture" && (
        <dl className={css.figures}>
          <Figure label={say.ratio} value={ratioRead ? ratioText(ratioRead.value) : "–"} />
          {ratioRead === null && frame.noRatio && <Below label={say.whyNot}>{frame.noRatio}</Below>}
          {ratioPlanned !== null && (
            <Below label={say.plannedLabel}>{say.planned(ratioText(ratioPlanned))}</Below>
          )}
          {leanDeg && (
            <Figure
              label={say.lean}
              value={leanDeg.value.toFixed(1)}
              plusMinus={leanDeg.u95.toFixed(1)}
              unit="°"
            />
          )}
          {leanDeg === null && ratioRead !== null && (
            <Line label={say.lean}>
              <span className="quiet">{say.noLean}</span>
            </Line>
          )}
          {areaMm2 ? (
            <Figure
              label={say.area}
              value={areaMm2.value.toFixed(0)}
              plusMinus={areaMm2.u95.toFixed(0)}
              unit="mm²"
            />
          ) : (
            <Line label={say.area}>
              <span className="quiet">
                {frame.outlines > 0 ? say.outlined(frame.outlines) : say.notMeasured}
              </span>
            </Line>
          )}
        </dl>
      )}
      <nav aria-label={say.links} className={css.links}>
        {frame.kind === "picture" && <Link to={`/measure/${frame.frameId}`}>{say.measure}</Link>}
        {request && frame.view && (
          <Link to={`/series/${request.code}?view=${encodeURIComponent(frame.view.key)}`}>{say.series}</Link>
        )}
        {request && <Link to={`/release/${request.code}`}>{say.release}</Link>}
        <Link to={`/custody/frame/${frame.frameId}`}>{say.custody}</Link>
      </nav>
      <dl className={css.lines}>
        <Line label={say.taken}>
          <TakenAt frame={frame} />
        </Line>
        {request && (
          <Line label={say.request}>
            <Link to={`/requests/${request.code}`}>{request.code}</Link> {request.title}
          </Line>
        )}
        <Line label={say.visitOf}>{visit ? (visit.date ?? words.frames.visit(null)) : say.noVisit}</Line>
        {frame.view && <Line label={say.view}>{frame.view.name}</Line>}
        <Line label={say.placed}>{frame.placing}</Line>
        {frame.flags.length > 0 && <Line label={say.flags}>{frame.flags.join(" ")}</Line>}
        {frame.notJudged.length > 0 && <Line label={say.notJudged}>{frame.notJudged.join("; ")}</Line>}
      </dl>
      <p>{reachOf(frame)}</p>
      <FileSays frame={frame} />
    </article>
  );
}

function TakenAt({ frame: { takenAt, clock } }: { readonly frame: FrameFacts }) {
  if (takenAt === null) return <>{say.noTime}</>;
  const { cameraSaid, offsetS } = clock;
  const wasPutRight = offsetS !== null && offsetS !== 0;
  return (
    <>
      {takenAt.replace("T", " ")}
      <span className={css.quietLine}>
        {wasPutRight && cameraSaid
          ? `${say.cameraSaid(cameraSaid.replace("T", " "))}, ${say.offset(offsetText(offsetS))}`
          : say.offsetNone}
      </span>
    </>
  );
}

/** "+1 h 0 min 4 s" */
function offsetText(seconds: number): string {
  const all = Math.abs(Math.round(seconds));
  const [h, min, s] = [Math.floor(all / 3600), Math.floor(all / 60) % 60, all % 60];
  const parts = [h > 0 && `${h} h`, (h > 0 || min > 0) && `${min} min`, `${s} s`].filter(Boolean);
  return `${seconds < 0 ? "−" : "+"}${parts.join(" ")}`;
}

function reachOf({ consent }: FrameFacts): string {
  if (consent.length === 0) return say.noConsent;
  const names = (covered: boolean) =>
    consent.filter((one) => one.covered === covered).map(({ scope }) => say.scopes[scope] ?? scope);
  const [reached, not] = [names(true), names(false)];
  if (reached.length === 0) return say.reachesNothing;
  return not.length === 0
    ? say.reaches(reached.join(", "))
    : `${say.reaches(reached.join(", "))} ${say.notReach(not.join(", "))}`;
}

/** What stands in the file. Set apart: anybody could have written it. */
function FileSays({ frame: { fileSays, folder } }: { readonly frame: FrameFacts }) {
  const body = [fileSays?.make, fileSays?.model].filter(Boolean).join(" ");
  const lens = [fileSays?.lens, fileSays?.focalMm ? `${fileSays.focalMm} mm` : ""].filter(Boolean).join(", ");
  const exposure = [
    fileSays?.fNumber ? `f/${fileSays.fNumber}` : "",
    fileSays?.exposureS ? secondsText(fileSays.exposureS) : "",
    fileSays?.iso ? `ISO ${fileSays.iso}` : "",
    fileSays?.flashFired == null ? "" : fileSays.flashFired ? say.flash : say.noFlash,
  ];
  return (
    <section className={css.fileSays}>
      <h3>{say.fileSays}</h3>
      <p className="quiet">{say.untrusted}</p>
      {fileSays === null ? (
        <p>{say.saysNothing}</p>
      ) : (
        <dl className={css.lines}>
          <Line label={say.body}>{body || say.saysNothing}</Line>
          <Line label={say.lens}>{lens || say.saysNothing}</Line>
          <Line label={say.exposure}>{exposure.filter(Boolean).join(", ") || say.saysNothing}</Line>
          <Line label={say.pixels}>{`${fileSays.widthPx} × ${fileSays.heightPx}`}</Line>
          <Line label={say.file}>{folder}</Line>
        </dl>
      )}
    </section>
  );
}

const secondsText = (seconds: number): string =>
  seconds >= 0.4 ? `${seconds.toFixed(1)} s` : `1/${Math.round(1 / seconds)} s`;

const Line = ({ label, children }: { readonly label: string; readonly children: ReactNode }) => (
  <div>
    <dt>{label}</dt>
    <dd>{children}</dd>
  </div>
);

/** Belongs to the figure above it; its label is only heard. */
const Below = ({ label, children }: { readonly label: string; readonly children: ReactNode }) => (
  <div className={css.why}>
    <dt className="only-heard">{label}</dt>
    <dd>{children}</dd>
  </div>
);
