import type { JobBegun, ListedCard } from "@samescale/server";
import { ask } from "../../api/client.ts";
import { useAct, useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { Link } from "../../parts/link.tsx";
import { minuteOf } from "../../parts/moment.ts";
import { words } from "../../words/index.ts";
import css from "./card.module.css";
import { MaySign } from "./result/may-sign.tsx";

const said = words.card.lately;

/** The cards that were taken in last, and which of them was not finished. */
export function Lately({ onBegun }: { readonly onBegun: (job: string) => void }) {
  const cards = useAnswer<ListedCard[]>("/card/intakes", ["intake", "frame", "clock"]);
  const goOn = useAct(async (folder: string) => {
    const { job } = await ask<JobBegun>("POST", "/card/take-in", { folder });
    onBegun(job);
  });
  return (
    <section aria-labelledby="lately">
      <h2 id="lately">{said.title}</h2>
      <Answered of={cards}>
        {(all) =>
          all.length === 0 ? (
            <p className="quiet">{said.none}</p>
          ) : (
            <ul className={css.lines}>
              {all.map((card) => (
                <li key={card.id} className={css.line}>
                  <div>
                    <Link to={`/card?intake=${card.id}`}>{card.name}</Link>
                    <p className="quiet">
                      {minuteOf(card.begunAt)} · {filesOf(card)} ·{" "}
                      {words.card.frames(card.placed + card.unplaced)}
                      {card.clock &&
                        card.clock.offsetS !== 0 &&
                        ` · ${words.card.clock.correctedBy(card.clock.offsetS)}`}
                    </p>
                  </div>
                  {card.finishedAt === null && card.abandonedBecause === null && !card.isDropped ? (
                    <Button onPress={() => goOn.mutate(card.cardPath)}>{said.goOn}</Button>
                  ) : (
                    <State card={card} />
                  )}
                </li>
              ))}
            </ul>
          )
        }
      </Answered>
    </section>
  );
}

const filesOf = ({ files }: ListedCard): string =>
  words.card.files(Object.values(files).reduce((sum, count) => sum + count, 0));

function State({ card }: { readonly card: ListedCard }) {
  if (card.abandonedBecause !== null) return <span className="quiet">{said.abandoned}</span>;
  if (card.erase === null) return <span className="quiet">{said.notFinished}</span>;
  return (
    <span className={css.mayBe}>
      <MaySign may={card.erase.may} />
      {said.erase}: {card.erase.may ? said.yes : said.no}
    </span>
  );
}
