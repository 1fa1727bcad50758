import type { TodayAnswer } from "@samescale/server";
import { useRef } from "react";
import { useLocation } from "wouter";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Empty } from "../../parts/empty.tsx";
import { Link } from "../../parts/link.tsx";
import { useKeys } from "../../shell/keys.ts";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import { Bag } from "./bag.tsx";
import { type DayRequest, RequestLine } from "./request-line.tsx";
import css from "./today.module.css";
import { Waiting } from "./waiting.tsx";

const say = words.today;
const TOPICS = ["request", "plan", "visit", "frame", "intake", "consent", "capacity", "release", "practice"];
const GROUPS = ["overdue", "today", "coming", "undated", "made"] as const;

/** The photographer's day. */
export function DayAtDesk() {
  const today = useAnswer<TodayAnswer>("/today", TOPICS);
  const [, go] = useLocation();
  const list = useRef<HTMLDivElement>(null);
  const step = (by: 1 | -1) => moveFocus(list.current, by);
  useKeys(say.title, [
    { key: "ArrowDown", does: say.keys.down, run: () => step(1) },
    { key: "ArrowUp", does: say.keys.up, run: () => step(-1) },
    { key: "n", does: say.keys.fresh, run: () => go("/requests/new") },
  ]);
  const newRequest = (
    <Link to="/requests/new" look="plain">
      {say.newRequest}
    </Link>
  );
  return (
    <PlaceFrame
      title={say.title}
      acts={newRequest}
      facts={today.data ? <Bag day={today.data.day} /> : undefined}
    >
      <Answered of={today}>
        {({ day, time, requests, desk }) => (
          <div ref={list} className={css.today}>
            <p className={css.now}>
              {say.now(day, time)}
              <a className={css.toBag} href="#bag">
                {say.toBag}
              </a>
            </p>
            {desk && <Waiting desk={desk} />}
            {requests.length === 0 && (
              <Empty title={say.empty}>
                <p>{say.emptyHelp}</p>
              </Empty>
            )}
            {GROUPS.map((group) => (
              <Group key={group} group={group} requests={requests.filter(({ when }) => when === group)} />
            ))}
          </div>
        )}
      </Answered>
    </PlaceFrame>
  );
}

function Group({
  group,
  requests,
}: {
  readonly group: (typeof GROUPS)[number];
  readonly requests: readonly DayRequest[];
}) {
  if (requests.length === 0) return null;
  const lines = (
    <ul className={css.lines}>
      {requests.map((request) => (
        <RequestLine key={request.id} request={request} />
      ))}
    </ul>
  );
  const title = (
    <>
      {say.groups[group]} <span className="quiet">{say.groupCount(requests.length)}</span>
    </>
  );
  if (group !== "made") {
    return (
      <section>
        <h2 className={css.group}>{title}</h2>
        {lines}
      </section>
    );
  }
  // Done with the patient: folded away, so that the day stays on one page.
  return (
    <details>
      <summary className={css.group}>{title}</summary>
      {lines}
    </details>
  );
}

function moveFocus(list: HTMLElement | null, by: 1 | -1): void {
  const links = [...(list?.querySelectorAll<HTMLElement>("li > div > p > a") ?? [])].filter(
    (link) => link.offsetParent !== null,
  );
  const here = links.indexOf(document.activeElement as HTMLElement);
  links[here < 0 ? (by > 0 ? 0 : links.length - 1) : here + by]?.focus();
}
