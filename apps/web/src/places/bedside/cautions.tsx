import { words } from "../../words/index.ts";
import css from "./cautions.module.css";

/** Each is one sentence after what it is about: "Flash near eyes: …". */
export function CautionList({ cautions }: { readonly cautions: readonly string[] }) {
  if (cautions.length === 0) return <p className="quiet">{words.bedside.noCautions}</p>;
  return (
    <ul className={css.list}>
      {cautions.map((says) => {
        const at = says.indexOf(":");
        return (
          <li key={says} className={css.one}>
            <svg viewBox="0 0 20 20" aria-hidden="true" className={css.mark}>
              <path d="M10 2.5 18.5 17.5H1.5Z" fill="none" stroke="currentColor" strokeWidth="1.8" />
              <path d="M10 8v4.4M10 14.2v1.6" stroke="currentColor" strokeWidth="1.8" />
            </svg>
            <p>
              {at > 0 && <strong>{says.slice(0, at + 1)}</strong>}
              {says.slice(at + 1)}
            </p>
          </li>
        );
      })}
    </ul>
  );
}
