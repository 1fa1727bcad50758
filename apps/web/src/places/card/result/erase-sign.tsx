import { minuteOf } from "../../../parts/moment.ts";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";
import { MaySign } from "./may-sign.tsx";

/** Whether the card may be emptied, so that nobody mistakes it. @param erase null: it is not wholly in yet */
export function EraseSign({
  erase,
  saidAt,
}: {
  readonly erase: { readonly may: boolean; readonly why: string } | null;
  /** When that was said, for a card of the past. */
  readonly saidAt?: string | null;
}) {
  const said = words.card.erase;
  const may = erase?.may ?? false;
  return (
    <div className={`${css.erase} ${may ? css.eraseYes : css.eraseNo}`} role="status">
      <MaySign may={may} large />
      <div>
        <p className={css.eraseSaid}>{erase === null ? said.unknown : may ? said.yes : said.no}</p>
        {erase && <p>{erase.why.replace(/\.?$/, ".")}</p>}
        {saidAt && <p className="quiet">{said.said(minuteOf(saidAt))}</p>}
      </div>
    </div>
  );
}
