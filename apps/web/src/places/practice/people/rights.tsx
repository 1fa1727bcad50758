import type { ListedRight, Role } from "@samescale/server";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";

const { people: say } = words.practice;
const roles = Object.keys(say.roles) as Role[];

/** What each role is for, and every act with who may do it. */
export function Rights() {
  const rights = useAnswer<readonly ListedRight[]>("/practice/rights");
  return (
    <section className={css.section}>
      <h2>{say.rights}</h2>
      <ul className={css.lines}>
        {roles.map((role) => (
          <li key={role} className={css.line}>
            <span className={css.strong}>{say.roles[role][0]}</span>
            <span className="quiet">{say.roles[role][1]}</span>
          </li>
        ))}
      </ul>
      <p className="quiet">{say.rightsSays}</p>
      <Answered of={rights}>
        {(list) => (
          // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls sideways is reached by key.
          <section className={css.scroll} aria-label={say.rights} tabIndex={0}>
            <table className={css.table}>
              <thead>
                <tr>
                  <th scope="col">{say.what}</th>
                  {roles.map((role) => (
                    <th key={role} scope="col">
                      {say.roles[role][0]}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {list.map(({ act, does, may }) => (
                  <tr key={act}>
                    <th scope="row">{does}</th>
                    {roles.map((role) => (
                      <td key={role}>
                        {may.includes(role) ? (
                          `● ${say.may}`
                        ) : (
                          <span className="only-heard">{say.mayNot}</span>
                        )}
                      </td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          </section>
        )}
      </Answered>
    </section>
  );
}
