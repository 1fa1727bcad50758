import type { SignedSoFar } from "@samescale/server";
import { ask } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { minuteOf } from "../../../parts/moment.ts";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import { Copyable } from "../copyable.tsx";
import css from "../custody.module.css";
import { saveFile } from "../save-file.ts";

const said = words.custody.heads;
const SHOWN = 5;

/** Who keeps records signs them, too: an auditor reads. */
export const useSigns = (): boolean => ["photographer", "lead"].includes(useMe().role);

/** The newest signed heads, to be saved and kept elsewhere. */
export function SignedHeads() {
  const signed = useAnswer<SignedSoFar>("/custody/heads", ["release", "intake", "time-stamp", "key"]);
  const signs = useSigns();
  const sign = useAct(() => ask<{ size: number }>("POST", "/custody/heads", {}), {
    say: ({ size }) => said.signed(size),
  });
  const save = useAct((path: string) => saveFile("GET", path));
  return (
    <section aria-labelledby="signed-heads">
      <h2 id="signed-heads">{said.title}</h2>
      <p className="quiet">{said.hint}</p>
      {signs && <Button onPress={() => sign.mutate(undefined)}>{said.sign}</Button>}
      <Answered of={signed}>
        {({ heads, headCount, keys }) => (
          <>
            {heads.length === 0 && <p>{said.none}</p>}
            <ul className={css.lines}>
              {heads.slice(0, SHOWN).map(({ size, time, stamps }) => (
                <li key={size} className={css.head}>
                  <span>
                    <strong>{said.size(size)}</strong>
                    <br />
                    <span className="quiet">{minuteOf(time)}</span>
                    {stamps.length > 0 && <span className="quiet"> · {said.stamps(stamps.length)}</span>}
                  </span>
                  <span className={css.row}>
                    {stamps.map(({ id, madeAt }) => (
                      <Button
                        key={id}
                        look="bare"
                        aria-label={said.stampLabel(minuteOf(madeAt))}
                        onPress={() => save.mutate(`/custody/stamps/${id}`)}
                      >
                        .tsr
                      </Button>
                    ))}
                    <Button
                      aria-label={said.saveLabel(size)}
                      onPress={() => save.mutate(`/custody/heads/${size}/signed-head.txt`)}
                    >
                      {said.save}
                    </Button>
                  </span>
                </li>
              ))}
            </ul>
            {headCount > SHOWN && <p className="quiet">{said.older(headCount - SHOWN)}</p>}
            {keys
              .filter(({ retiredAt }) => retiredAt === null)
              .map(({ id, isEndorsed }) => (
                <div key={id}>
                  <h3>{said.key}</h3>
                  <Copyable text={id} label={said.key} />
                  {!isEndorsed && <p>{said.notEndorsed}</p>}
                </div>
              ))}
          </>
        )}
      </Answered>
    </section>
  );
}
