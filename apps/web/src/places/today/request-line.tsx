import type { TodayAnswer } from "@samescale/server";
import { Link } from "../../parts/link.tsx";
import { words } from "../../words/index.ts";
import css from "./today.module.css";

const say = words.today;
export type DayRequest = TodayAnswer["requests"][number];

/** Where the next step of a request is done. */
const WAYS: Readonly<Record<DayRequest["next"], (code: string) => string>> = {
  plan: (code) => `/requests/${code}?show=plan`,
  consent: (code) => `/requests/${code}?show=consent`,
  bedside: (code) => `/bedside/${code}`,
  card: (code) => `/requests/${code}?show=card`,
  frames: (code) => `/frames?request=${code}`,
  look: (code) => `/requests/${code}`,
};

/** One request of the day: when, who and where, what views, what to mind, what is not ready, what is next. */
export function RequestLine({
  request,
  standing,
}: {
  readonly request: DayRequest;
  /** Of somebody's own request: how far it is, in place of the next step. */
  readonly standing?: string;
}) {
  const { code, patient, title, place, priority, views, minutes, cautions, interpreter, missing, next } =
    request;
  const mind = [...cautions, ...(interpreter === null ? [] : [say.interpreter(interpreter)])];
  return (
    <li className={css.line}>
      <When request={request} />
      <div className={css.body}>
        <p className={css.who}>
          <Link to={`/requests/${code}`}>{patient ? patient.name : title}</Link>
          <span className="quiet">
            {patient ? `${patient.number} · ` : `${say.noPatient} · `}
            {code}
          </span>
          {priority !== null && priority !== "routine" && (
            <strong className={css.urgent}>{say.priorities[priority as keyof typeof say.priorities]}</strong>
          )}
        </p>
        {patient && <p className={css.title}>{title}</p>}
        <p className="quiet">{[place, ...factsOf(request)].filter((each) => each !== null).join(" · ")}</p>
        {views.length > 0 && (
          <p className="quiet">
            {views.map(({ name, ratio }) => say.view(name, ratio)).join(", ")}
            {minutes !== null && (
              <>
                {" · "}
                <span className={css.whole}>{say.minutes(minutes)}</span>
              </>
            )}
          </p>
        )}
        {mind.length > 0 && <Marked says={mind} label={say.cautions} mark={css.mind!} />}
        {missing.length > 0 && <Marked says={lackOf(missing)} label={say.missing} mark={css.lacks!} />}
        {standing !== undefined && <p className={css.standing}>{standing}</p>}
      </div>
      {standing === undefined && (
        <div className={css.next}>
          <Link to={WAYS[next](code)} look={isReady(request) ? "chief" : "plain"}>
            {say.next[next]}
            <span className="only-heard"> {code}</span>
          </Link>
        </div>
      )}
    </li>
  );
}

/** Kit in one line: it is put right in one go. */
function lackOf(missing: DayRequest["missing"]): string[] {
  const kit = missing.filter(({ what }) => what === "kit" || what === "due").map(({ says }) => says);
  const others = missing.filter(({ what }) => what !== "kit" && what !== "due").map(({ says }) => says);
  return [...others, ...(kit.length > 0 ? [kit.join("; ")] : [])];
}

/** What can be done now stands out; the rest is calm. */
const isReady = ({ next, when }: DayRequest): boolean => next === "bedside" && when === "today";

function When({ request: { when, day, times, dueDate } }: { readonly request: DayRequest }) {
  if (when === "today") return <p className={css.when}>{times[0] ?? <span>{say.noTime}</span>}</p>;
  if (day === null && dueDate === null) return <p className={css.when} />;
  return (
    <p className={css.when}>
      <span className={css.day}>{day ?? dueDate}</span>
      {when === "coming" && times[0] !== undefined && <span className={css.day}>{times[0]}</span>}
    </p>
  );
}

const factsOf = ({ when, times, dressingsDownAt, photographedOn, requester }: DayRequest): string[] => [
  ...(requester === null ? [] : [requester]),
  ...(dressingsDownAt === null ? [] : [say.dressings(dressingsDownAt)]),
  ...(when === "today" && times.length > 1 ? [times.slice(1).join(", ")] : []),
  ...(photographedOn !== null && when !== "made" ? [say.followUp(photographedOn)] : []),
];

/** A shape and words: what to mind, what is not ready. */
function Marked({
  says,
  label,
  mark,
}: {
  readonly says: readonly string[];
  readonly label: string;
  readonly mark: string;
}) {
  return (
    <ul className={`${css.marked} ${mark}`} aria-label={label}>
      {says.map((text) => (
        <li key={text}>
          <svg viewBox="0 0 16 16" aria-hidden="true">
            {mark === css.mind ? (
              <path d="M8 1.8 L15 14.2 L1 14.2 Z M8 6 L8 10 M8 11.6 L8 12.6" />
            ) : (
              <rect x="2.5" y="2.5" width="11" height="11" strokeDasharray="2.6 2" />
            )}
          </svg>
          {text}
        </li>
      ))}
    </ul>
  );
}
