import { words } from "../../../words/index.ts";
import css from "../measure.module.css";
import type { Figures } from "./figures.tsx";

const w = words.measure.figures;
/** Coverage factor of every interval. */
const K = 2;
/** Less than this changes nothing that is shown. */
const LEAST_SHARE = 0.0005;

/** What makes the area doubtful, largest first. */
export function Budget({ of: { budget } }: { readonly of: Figures }) {
  const shown = budget.filter(({ u }) => K * u >= LEAST_SHARE);
  const most = Math.max(...budget.map(({ u }) => u), Number.MIN_VALUE);
  const together = Math.sqrt(budget.reduce((sum, { u }) => sum + u * u, 0));
  return (
    <details className={css.budget} open>
      <summary>{w.budget}</summary>
      <table>
        <thead>
          <tr>
            <th scope="col">{w.source}</th>
            <th scope="col">{w.share}</th>
          </tr>
        </thead>
        <tbody>
          {shown.map(({ source, u }) => (
            <tr key={source}>
              <th scope="row">
                {source}
                <span className={css.share} style={{ width: `${(100 * u) / most}%` }} aria-hidden="true" />
              </th>
              <td>{percent(u)}</td>
            </tr>
          ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row">{w.together}</th>
            <td>{percent(together)}</td>
          </tr>
        </tfoot>
      </table>
    </details>
  );
}

const percent = (u: number): string => {
  const share = 100 * K * u;
  return `± ${share.toFixed(share < 1 ? 2 : 1)} %`;
};
