import { type ReactNode, useEffect, useRef } from "react";
import { words } from "../words/index.ts";
import css from "./shell.module.css";

export interface PlaceFrameProps {
  readonly title: string;
  /** Acts of the whole place, beside its title. */
  readonly acts?: ReactNode;
  /** Facts about what is selected, at the right; below on a phone. */
  readonly facts?: ReactNode;
  readonly children: ReactNode;
}

/** A place: its title, the work in the middle, facts at the right. Names the page, and takes the focus when opened. */
export function PlaceFrame({ title, acts, facts, children }: PlaceFrameProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = `${title} · ${words.shell.application}`;
    heading.current?.focus({ preventScroll: true });
  }, [title]);
  return (
    <div className={css.place}>
      <header className={css.placeHead}>
        <h1 ref={heading} tabIndex={-1}>
          {title}
        </h1>
        {acts && <div className={`${css.acts} not-printed`}>{acts}</div>}
      </header>
      <div className={facts ? css.withFacts : css.alone}>
        <div className={css.work}>{children}</div>
        {facts && <aside className={css.facts}>{facts}</aside>}
      </div>
    </div>
  );
}
