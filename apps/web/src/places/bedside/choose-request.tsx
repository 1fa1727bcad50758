import type { BedsideList } from "@samescale/server";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Empty } from "../../parts/empty.tsx";
import { Link } from "../../parts/link.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import css from "./choose.module.css";

/** Goes on with what runs, or begins one of today's requests: one touch each. */
export function ChooseRequest() {
  const list = useAnswer<BedsideList>("/bedside", ["bedside", "request", "plan"]);
  return (
    <PlaceFrame title={words.shell.names.bedside}>
      <Answered of={list}>{(answer) => <Lists {...answer} />}</Answered>
    </PlaceFrame>
  );
}

function Lists({ running, choices }: BedsideList) {
  const isRunning = (code: string) => running.some((one) => one.code === code);
  const today = choices.filter(({ code, todayAt }) => todayAt !== null && !isRunning(code));
  const others = choices.filter(({ code, todayAt }) => todayAt === null && !isRunning(code));
  if (running.length + choices.length === 0) {
    return (
      <Empty title={words.bedside.chooseEmpty}>
        <p>{words.bedside.chooseEmptyHelp}</p>
        <Link to="/requests" look="chief">
          {words.bedside.toRequests}
        </Link>
      </Empty>
    );
  }
  return (
    <div className={css.lists}>
      <Rows
        title={words.bedside.running}
        act={words.bedside.goOn}
        isChief
        rows={running.map(({ code, title, beganAt }) => ({
          code,
          title,
          when: `${beganAt.slice(11, 16)}`,
        }))}
      />
      <Rows
        title={words.bedside.today}
        act={words.bedside.begin}
        rows={today.map(({ code, title, todayAt }) => ({ code, title, when: words.bedside.at(todayAt!) }))}
      />
      <Rows
        title={words.bedside.others}
        act={words.bedside.begin}
        rows={others.map(({ code, title, dueDate }) => ({ code, title, when: words.bedside.due(dueDate) }))}
      />
    </div>
  );
}

interface RowsProps {
  readonly title: string;
  readonly act: string;
  readonly isChief?: boolean;
  readonly rows: readonly { readonly code: string; readonly title: string; readonly when: string }[];
}

function Rows({ title, act, isChief = false, rows }: RowsProps) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <ul className={css.rows}>
        {rows.map((row) => (
          <li key={row.code} className={css.row}>
            <div className={css.which}>
              <span className={css.code}>{row.code}</span>
              <span className="quiet">{row.when}</span>
              <span className={css.title}>{row.title}</span>
            </div>
            <Link to={`/bedside/${encodeURIComponent(row.code)}`} look={isChief ? "chief" : "plain"}>
              {act}
              <span className="only-heard"> {row.code}</span>
            </Link>
          </li>
        ))}
      </ul>
    </section>
  );
}
