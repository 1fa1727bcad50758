import type { ShownFault } from "@samescale/server";
import { Link } from "wouter";
import { words } from "../../words/index.ts";
import css from "./practice.module.css";

/** What a practice's files say wrong: where, and what. */
export function FaultList({
  faults,
  withLinks = false,
}: {
  readonly faults: readonly ShownFault[];
  readonly withLinks?: boolean;
}) {
  return (
    <ul className={css.faults}>
      {faults.map(({ file, field, line, says }) => (
        <li key={`${file}${field}${line}${says}`}>
          <span className={css.strong}>{says}</span>
          <br />
          <span className={css.small}>
            {withLinks ? <Link href={`/practice/file/${file}`}>{file}</Link> : file}
            {line !== null && `, ${words.practice.overview.line(line)}`}
            {field !== "" && `, ${spoken(field)}`}
          </span>
        </li>
      ))}
    </ul>
  );
}

/** views.2.ratio, counted as a person counts: from 1. */
const spoken = (field: string): string => field.replace(/\.(\d+)/g, (_, n: string) => `[${Number(n) + 1}]`);
