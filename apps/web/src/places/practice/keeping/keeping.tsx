import type { ShownKeeping } from "@samescale/server";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Link } from "../../../parts/link.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import { MakeBackup } from "./make-backup.tsx";
import { PutBack } from "./put-back.tsx";

const { keeping: say } = words.practice;

/** Backups of this library, where it lies, and how it is put back. */
export function Keeping() {
  const keeping = useAnswer<ShownKeeping>("/practice/keeping", ["backup", "practice"]);
  return (
    <PracticePage here="keeping">
      <Answered of={keeping}>
        {(one) => (
          <>
            <section className={css.section}>
              <h2>{one.daysSince === null ? say.never : say.last}</h2>
              {one.daysSince === null ? (
                <p className={css.text}>{say.neverSays}</p>
              ) : (
                <p>
                  <span className="number">{say.days(one.daysSince)}</span>{" "}
                  <span className="quiet">{one.backups[0]?.place}</span>
                </p>
              )}
              {one.mayBackUp ? (
                <MakeBackup places={[...new Set(one.backups.map(({ place }) => place))]} />
              ) : (
                <p>{say.onlyLead}</p>
              )}
            </section>
            {one.backups.length > 0 && (
              <section className={css.section}>
                <h2>{say.list}</h2>
                <p className={css.text}>{say.listSays}</p>
                <ul className={css.lines}>
                  {one.backups.map(({ madeAt, place, isEncrypted, originals, faults }) => (
                    <li key={`${place}${madeAt}`} className={css.line}>
                      <span className={css.strong}>{madeAt.slice(0, 16).replace("T", " ")} UTC</span>
                      <span className="quiet">
                        {place}
                        <br />
                        {say.originals(originals)}, {isEncrypted ? say.isEncrypted : say.isPlain}
                      </span>
                      {faults > 0 ? <span className={css.warn}>○ {say.lacks(faults)}</span> : <span />}
                    </li>
                  ))}
                </ul>
              </section>
            )}
            <PutBack
              backup={one.backups[0]?.place ?? "/media/backup"}
              isEncrypted={one.backups[0]?.isEncrypted ?? true}
            />
            <section className={css.section}>
              <h2>{say.verify}</h2>
              <p className={css.text}>{say.verifySays}</p>
              <p>
                <Link to="/custody" look="plain">
                  {say.toVerify}
                </Link>
              </p>
            </section>
            <section className={css.section}>
              <h2>{say.places}</h2>
              <dl className={css.lines}>
                {[
                  [say.library, one.library],
                  [say.tables, one.tables],
                  [say.second, one.secondPlace ?? (one.oneCopyIsEnough ? say.oneCopy : say.noSecond)],
                ].map(([what, where]) => (
                  <div key={what} className={css.line}>
                    <dt className="quiet">{what}</dt>
                    <dd className={css.mono}>{where}</dd>
                  </div>
                ))}
              </dl>
            </section>
          </>
        )}
      </Answered>
    </PracticePage>
  );
}
