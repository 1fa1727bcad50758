import type { JobBegun, OpenDrop } from "@samescale/server";
import { ask } from "../../api/client.ts";
import { useAct, useAnswer } from "../../api/use-answer.ts";
import { Button } from "../../parts/button.tsx";
import { words } from "../../words/index.ts";
import css from "./card.module.css";

const said = words.card.open;

/** Cards that were dropped and cut off: gone on with, taken in as they are, or put away. */
export function OpenDrops({
  onBegun,
  sending,
}: {
  readonly onBegun: (job: string) => void;
  /** The one that is on its way just now, shown elsewhere. */
  readonly sending: string | null;
}) {
  const drops = useAnswer<OpenDrop[]>("/card/drops", ["intake"]);
  const takeIn = useAct(async ({ id }: OpenDrop) => {
    const { job } = await ask<JobBegun>("POST", `/card/drops/${id}/take-in`, { withoutTheRest: true });
    onBegun(job);
  });
  const putAway = useAct(
    async (drop: OpenDrop) => {
      await ask("DELETE", `/card/drops/${drop.id}`);
      return drop;
    },
    { say: ({ folder }) => said.putAwayDone(folder ?? words.card.sending.loose) },
  );
  const open = (drops.data ?? []).filter(({ id }) => id !== sending);
  if (open.length === 0) return null;
  return (
    <section aria-labelledby="open-drops">
      <h2 id="open-drops">{said.title}</h2>
      <ul className={css.lines}>
        {open.map((drop) => (
          <li key={drop.id} className={css.line}>
            <div>
              <strong>{drop.folder ?? words.card.sending.loose}</strong>
              <p>
                {said.here(drop.here, drop.files)} {drop.here < drop.files && said.dropAgain}{" "}
                <span className="quiet">{said.kept(drop.keptDays)}</span>
              </p>
            </div>
            <div className={css.row}>
              {drop.here > 0 && (
                <Button onPress={() => takeIn.mutate(drop)}>
                  {drop.here < drop.files ? said.takeHere : said.takeAll}
                </Button>
              )}
              <Button onPress={() => putAway.mutate(drop)}>{said.putAway}</Button>
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}
