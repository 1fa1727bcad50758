import type { TodayAnswer } from "@samescale/server";
import { Link } from "../../parts/link.tsx";
import { words } from "../../words/index.ts";
import css from "./today.module.css";

const say = words.today;

/** What waits for a person beside the requests; every count leads to it. */
export function Waiting({
  desk: { waiting, recalls, tasks },
}: {
  readonly desk: NonNullable<TodayAnswer["desk"]>;
}) {
  if (waiting + recalls + tasks.length === 0) return <p className="quiet">{say.allDone}</p>;
  return (
    <div className={css.waiting}>
      <ul className={css.counts}>
        {waiting > 0 && (
          <li>
            <Link to="/card/waiting">{say.waiting(waiting)}</Link>
          </li>
        )}
        {recalls > 0 && (
          <li>
            <Link to="/release/recalls">{say.recalls(recalls)}</Link>
          </li>
        )}
      </ul>
      {tasks.length > 0 && (
        <details>
          <summary>{say.tasks(tasks.length)}</summary>
          <ul className={css.tasks}>
            {tasks.map((task) => (
              <li key={`${task.kind} ${task.consentId ?? task.releaseId}`}>
                <span className={css.taskDay}>{task.day ?? say.noDay}</span>
                <span>
                  {task.request !== null && (
                    <>
                      <Link
                        to={
                          task.releaseId === null
                            ? `/requests/${task.request}?show=consent`
                            : `/release/receipts/${task.releaseId}`
                        }
                      >
                        {task.request}
                      </Link>{" "}
                    </>
                  )}
                  {task.says}
                </span>
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}
