import { words } from "../words/index.ts";
import css from "./parts.module.css";

export type VerdictName = keyof typeof words.parts.verdicts;

/** A shape and a word: filled disc, open ring with a turning arrow, square, dashed outline. Never colour alone. */
export function Verdict({
  verdict,
  large = false,
}: {
  readonly verdict: VerdictName;
  readonly large?: boolean;
}) {
  return (
    <span className={`${css.verdict} ${css[`is-${verdict}`]} ${large ? css.large : ""}`}>
      <svg viewBox="0 0 20 20" aria-hidden="true">
        {verdict === "keep" && <circle cx="10" cy="10" r="8" fill="currentColor" />}
        {verdict === "repeat" && (
          <g fill="none" stroke="currentColor" strokeWidth="2.4">
            <path d="M16.5 6.2A7.5 7.5 0 1 0 17.5 10" />
            <path d="M17.6 2.2v4.6h-4.6" />
          </g>
        )}
        {verdict === "your-choice" && (
          <rect x="3" y="3" width="14" height="14" fill="none" stroke="currentColor" strokeWidth="2.4" />
        )}
        {verdict === "not-judged" && (
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
      {words.parts.verdicts[verdict]}
    </span>
  );
}
