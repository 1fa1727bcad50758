import type { ReactNode } from "react";
import { Link } from "wouter";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import css from "./practice.module.css";

export type PracticePlace = keyof typeof words.practice.places;

/** A place within Practice: its name, the row of the others, its work. */
export function PracticePage(props: {
  readonly here: PracticePlace;
  /** Left out: the name of the place. */
  readonly title?: string;
  readonly acts?: ReactNode;
  readonly facts?: ReactNode;
  readonly children: ReactNode;
}) {
  const { here, title, acts, facts, children } = props;
  const { places, nav } = words.practice;
  return (
    <PlaceFrame title={title ?? places[here]} acts={acts} facts={facts}>
      <nav className={`${css.nav} not-printed`} aria-label={nav}>
        {Object.entries(places).map(([key, name]) => (
          <Link
            key={key}
            href={key === "" ? "/practice" : `/practice/${key}`}
            aria-current={key === here ? "page" : undefined}
          >
            {name}
          </Link>
        ))}
      </nav>
      <div className={css.stack}>{children}</div>
    </PlaceFrame>
  );
}
