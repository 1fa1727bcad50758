import type { ReactNode } from "react";
import css from "../practice.module.css";
import own from "./figures.module.css";

/** One table of figures; its first column names the row, numbers stand at the right. */
export function FigureTable(props: {
  readonly title: string;
  readonly says?: string;
  readonly heads: readonly string[];
  readonly rows: readonly { readonly key: string; readonly cells: readonly ReactNode[] }[];
}) {
  const { title, says, heads, rows } = props;
  return (
    <section className={css.section}>
      <h2>{title}</h2>
      {says && <p className="quiet">{says}</p>}
      {rows.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls sideways is reached by key.
        <section className={css.scroll} aria-label={title} tabIndex={0}>
          <table className={own.table}>
            {heads.length > 0 && (
              <thead>
                <tr>
                  {heads.map((head, i) =>
                    head === "" ? (
                      // biome-ignore lint/suspicious/noArrayIndexKey: the columns are fixed.
                      <td key={i} className={own.wide} />
                    ) : (
                      <th
                        key={head}
                        scope="col"
                        className={typeof rows[0]?.cells[i] === "number" ? own.over : undefined}
                      >
                        {head}
                      </th>
                    ),
                  )}
                </tr>
              </thead>
            )}
            <tbody>
              {rows.map(({ key, cells: [first, ...rest] }) => (
                <tr key={key}>
                  <th scope="row">{first}</th>
                  {rest.map((cell, i) => (
                    // biome-ignore lint/suspicious/noArrayIndexKey: the columns are fixed.
                    <td key={i} className={typeof cell === "number" ? own.number : undefined}>
                      {cell}
                    </td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
    </section>
  );
}
