import type { PlacingOnRecord, Undone } from "@samescale/server";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { minuteOf, personOf } from "../../../parts/moment.ts";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";

const said = words.card.waiting.lately;

/** Placings by hand as they are on record: each can be taken back while nothing was changed since. */
export function LatelyPlaced({ lately }: { readonly lately: readonly PlacingOnRecord[] }) {
  const takeBack = useAct((entry: number) => ask<Undone>("POST", "/card/place/undo", { entry }), {
    say: ({ frames }) => said.done(frames.length),
  });
  if (lately.length === 0) return null;
  return (
    <section aria-labelledby="lately-placed">
      <h2 id="lately-placed">{said.title}</h2>
      <ul className={css.lines}>
        {lately.map(({ entry, time, actor, because, frames, to, isUndone }) => (
          <li key={entry} className={css.line}>
            <div>
              {said.line(frames.length, to)}
              <p className="quiet">
                {minuteOf(time)} · {personOf(actor)} · {because}
              </p>
            </div>
            {isUndone ? (
              <span className="quiet">{said.undone}</span>
            ) : (
              <Button
                aria-label={`${said.undo}: ${said.line(frames.length, to)}`}
                onPress={() => takeBack.mutate(entry)}
              >
                {said.undo}
              </Button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
