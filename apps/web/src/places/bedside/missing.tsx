import { formatRatio } from "@samescale/optics";
import type { BedsideView } from "@samescale/server";
import { words } from "../../words/index.ts";
import css from "./missing.module.css";

/** The views of the plan: a filled disc where one was made that may stay, an empty place where not. */
export function ViewList({ views }: { readonly views: readonly BedsideView[] }) {
  return (
    <ul className={css.views}>
      {views.map(({ key, name, magnification, isMade }) => (
        <li key={key} className={isMade ? css.made : css.lacking}>
          <svg viewBox="0 0 20 20" aria-hidden="true">
            {isMade ? (
              <circle cx="10" cy="10" r="7" fill="currentColor" />
            ) : (
              <circle
                cx="10"
                cy="10"
                r="7.5"
                fill="none"
                stroke="currentColor"
                strokeWidth="2"
                strokeDasharray="3 3"
              />
            )}
          </svg>
          <span className={css.name}>{name}</span>
          <span className={css.ratio}>{formatRatio(magnification)}</span>
          <span className="only-heard">{isMade ? words.bedside.made : words.bedside.lacks}</span>
        </li>
      ))}
    </ul>
  );
}

/** What is still missing, in the order of the plan. */
export function Missing({ views }: { readonly views: readonly BedsideView[] }) {
  const missing = views.filter(({ isMade }) => !isMade);
  return (
    <section className={css.missing} aria-live="polite">
      <h2>{words.bedside.missing(missing.length, views.length)}</h2>
      <ViewList views={views.toSorted((a, b) => Number(a.isMade) - Number(b.isMade))} />
    </section>
  );
}
