import type { ReactNode } from "react";
import { Link as Routed } from "wouter";
import type { ButtonLook } from "./button.tsx";
import css from "./parts.module.css";

/** Leads to another address of the application. With a look it is drawn as a button. */
export function Link({
  to,
  look,
  children,
}: {
  readonly to: string;
  readonly look?: ButtonLook;
  readonly children: ReactNode;
}) {
  return (
    <Routed href={to} className={look && `${css.button} ${css[look]}`}>
      {children}
    </Routed>
  );
}
