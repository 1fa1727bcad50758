import type { Verified } from "@samescale/server";
import { minuteOf } from "../../../parts/moment.ts";
import { words } from "../../../words/index.ts";
import { Copyable } from "../copyable.tsx";
import css from "../custody.module.css";

const said = words.custody.verify;

/** What a check came to: in one sentence first, then the counts, every fault a line, the head to be kept. */
export function Outcome({ verified }: { readonly verified: Verified }) {
  const { holds, faults, faultCount, counts, notes, head, at } = verified;
  return (
    <div className={css.outcome} role="status">
      <div className={css.outcomeHead}>
        <Shape holds={holds} />
        <div>
          <p className={css.outcomeSaid}>{holds ? said.holds : said.faults(faultCount)}</p>
          <p className="quiet">{said.checkedAt(minuteOf(at))}</p>
        </div>
      </div>
      {!holds && <p>{said.whatToDo}</p>}
      {faults.length > 0 && (
        <ul className={css.faults}>
          {faults.map(({ where, subject, fault }) => (
            <li key={`${where} ${subject} ${fault}`}>
              <strong>
                {said.where[where]} {subject}
              </strong>
              : {fault}
            </li>
          ))}
        </ul>
      )}
      {faultCount > faults.length && <p>{said.more(faults.length, faultCount)}</p>}
      <p>{said.counts(counts)}.</p>
      {notes.length > 0 && (
        <>
          <h3>{said.notes}</h3>
          <ul className={css.plainList}>
            {notes.map((note) => (
              <li key={note}>{note}.</li>
            ))}
          </ul>
        </>
      )}
      <p className="quiet">{said.keep}</p>
      <Copyable text={head} />
    </div>
  );
}

/** A disc with a tick; a square with a stroke through. */
const Shape = ({ holds }: { readonly holds: boolean }) => (
  <svg className={holds ? css.holds : css.holdsNot} viewBox="0 0 20 20" aria-hidden="true">
    {holds ? (
      <>
        <circle cx="10" cy="10" r="9" fill="currentColor" />
        <path d="M5.5 10.5l3 3 6-6.5" fill="none" stroke="var(--panel)" strokeWidth="2.4" />
      </>
    ) : (
      <path d="M2 2h16v16H2zM2 18L18 2" fill="none" stroke="currentColor" strokeWidth="2.4" />
    )}
  </svg>
);
