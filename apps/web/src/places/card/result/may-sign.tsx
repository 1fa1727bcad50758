import css from "../card.module.css";

/** A shape beside the word: a disc with a tick, or a ring with a bar. */
export function MaySign({ may, large = false }: { readonly may: boolean; readonly large?: boolean }) {
  return (
    <svg
      className={`${large ? css.signLarge : css.sign} ${may ? css.may : css.mayNot}`}
      viewBox="0 0 20 20"
      aria-hidden="true"
    >
      {may ? (
        <>
          <circle cx="10" cy="10" r="9" fill="currentColor" />
          <path d="M5.5 10.5l3 3 6-6.5" fill="none" stroke="var(--panel)" strokeWidth="2.4" />
        </>
      ) : (
        <g fill="none" stroke="currentColor" strokeWidth="2.6">
          <circle cx="10" cy="10" r="8" />
          <path d="M5 10h10" strokeWidth="3" />
        </g>
      )}
    </svg>
  );
}
