import type { WhoseAreThey } from "@samescale/server";
import { useLocation } from "wouter";
import { useAnswer } from "../../api/use-answer.ts";
import { Link } from "../../parts/link.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import css from "./card.module.css";
import { TakeIn } from "./take-in.tsx";
import { Waiting } from "./waiting/waiting.tsx";

/** A card taken in, and the frames of which nobody knows yet whose they are. */
export default function Card() {
  const [path] = useLocation();
  const isWaiting = path.startsWith("/card/waiting");
  const waiting = useAnswer<WhoseAreThey>("/card/waiting", ["frame", "intake", "request", "visit"]);
  const count = (waiting.data?.cards ?? []).reduce(
    (sum, { groups }) => sum + groups.reduce((of, { frames }) => of + frames.length, 0),
    0,
  );
  return (
    <PlaceFrame
      title={isWaiting ? words.card.whose : words.shell.names.card}
      acts={
        isWaiting ? (
          <Link to="/card" look="plain">
            {words.card.takeIn}
          </Link>
        ) : (
          count > 0 && (
            <Link to="/card/waiting" look="plain">
              <span className={css.count}>{words.card.whoseCount(count)}</span>
            </Link>
          )
        )
      }
    >
      {isWaiting ? <Waiting of={waiting} /> : <TakeIn />}
    </PlaceFrame>
  );
}
