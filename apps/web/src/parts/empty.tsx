import type { ReactNode } from "react";
import css from "./parts.module.css";

/** An empty place: what it is for, and what to do next. */
export function Empty({ title, children }: { readonly title: string; readonly children?: ReactNode }) {
  return (
    <div className={css.empty}>
      <h2>{title}</h2>
      {children}
    </div>
  );
}
