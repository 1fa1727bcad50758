import type { TodayAnswer } from "@samescale/server";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Empty } from "../../parts/empty.tsx";
import { Link } from "../../parts/link.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import { RequestLine } from "./request-line.tsx";
import css from "./today.module.css";

const say = words.today.asker;

/** Whoever asked: what they asked for, and how far each of it is. */
export function Asker({ mayAsk }: { readonly mayAsk: boolean }) {
  const today = useAnswer<TodayAnswer>("/today", ["request", "plan", "visit", "frame", "release"]);
  const ask = mayAsk && (
    <Link to="/requests/new" look="chief">
      {words.today.askPictures}
    </Link>
  );
  return (
    <PlaceFrame title={mayAsk ? say.title : words.today.title} acts={ask}>
      <Answered of={today}>
        {({ requests }) =>
          requests.length === 0 ? (
            <Empty title={mayAsk ? say.none : words.today.empty}>{mayAsk && <p>{say.noneHelp}</p>}</Empty>
          ) : (
            <ul className={css.lines}>
              {requests.map((request) => (
                <RequestLine key={request.id} request={request} standing={standingOf(request)} />
              ))}
            </ul>
          )
        }
      </Answered>
    </PlaceFrame>
  );
}

function standingOf({ when, day, photographedOn, passedOn, dueDate, views, times }: DayRequestShown): string {
  const steps = [
    say.asked,
    ...(views.length > 0 ? [say.planned] : []),
    ...(when !== "made" && day !== null && times.length > 0 ? [say.booked(day)] : []),
    ...(photographedOn === null && dueDate !== null ? [say.due(dueDate)] : []),
    ...(photographedOn === null ? [] : [say.made(photographedOn)]),
    ...(passedOn === null ? [] : [say.passed(passedOn)]),
  ];
  return steps.join(" · ");
}

type DayRequestShown = TodayAnswer["requests"][number];
