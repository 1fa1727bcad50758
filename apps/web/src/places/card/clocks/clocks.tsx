import type { ClockPutRight, SuspectClock } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";
import { PutRightByHand } from "./by-hand.tsx";

const said = words.card.clock;

/** How a person puts a clock right, as the server takes it. */
export type Correction =
  | { readonly by: "bookings"; readonly intakeId: string }
  | { readonly by: "frame"; readonly frameId: string; readonly shows: string }
  | { readonly by: "seconds"; readonly intakeId: string; readonly offsetS: number; readonly because: string };

/** Cards whose label frames speak against their camera's clock; nothing is put right but by a person. */
export function Clocks() {
  const clocks = useAnswer<readonly SuspectClock[]>("/card/clocks", ["intake", "frame", "clock", "request"]);
  const put = (correction: Correction) => ask<ClockPutRight>("POST", "/card/clocks", correction);
  const putRight = useAct(put, {
    say: ({ frames, offsetS }) => (offsetS === 0 ? said.doneRight : said.done(frames, offsetS)),
    undo: ({ intakeId }) => put({ by: "seconds", intakeId, offsetS: 0, because: said.undoBecause }),
  });
  if (!clocks.data || clocks.data.length === 0) return null;
  return (
    <section className={css.notice} aria-labelledby="clocks">
      <h2 id="clocks">{said.title}</h2>
      <p className="quiet">{said.keeps}</p>
      {clocks.data.map((clock) => (
        <OneClock key={clock.intakeId} clock={clock} putRight={(correction) => putRight.mutate(correction)} />
      ))}
    </section>
  );
}

function OneClock({
  clock,
  putRight,
}: {
  readonly clock: SuspectClock;
  readonly putRight: (correction: Correction) => void;
}) {
  const { intakeId, cardPath, aheadS, labelFrames } = clock;
  const [how, setHow] = useState<"frame" | "seconds" | null>(null);
  const isRight = { by: "seconds", intakeId, offsetS: 0, because: said.wasRightBecause } as const;
  return (
    <div className={css.clock}>
      <p>{said.says(cardPath.split("/").at(-1) ?? cardPath, aheadS, labelFrames)}</p>
      <div className={css.row}>
        <Button look="chief" onPress={() => putRight({ by: "bookings", intakeId })}>
          {said.asBooked(aheadS)}
        </Button>
        <Button onPress={() => setHow("frame")}>{said.byFrame}</Button>
        <Button onPress={() => setHow("seconds")}>{said.bySeconds}</Button>
        <Button onPress={() => putRight(isRight)}>{said.wasRight}</Button>
      </div>
      {how && (
        <PutRightByHand
          how={how}
          intakeId={intakeId}
          onPut={(correction) => {
            setHow(null);
            putRight(correction);
          }}
        />
      )}
    </div>
  );
}
