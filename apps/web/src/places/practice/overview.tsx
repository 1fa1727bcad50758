import type { FirstRunState, PracticeOverview } from "@samescale/server";
import { Link as Routed } from "wouter";
import { ask } from "../../api/client.ts";
import { useAct, useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { useMe } from "../../shell/session.tsx";
import { words } from "../../words/index.ts";
import { FaultList } from "./fault-list.tsx";
import css from "./practice.module.css";
import { PracticePage } from "./practice-page.tsx";

const { overview, places } = words.practice;

/** What the practice is, and what of it asks for somebody. */
export function Overview() {
  const practice = useAnswer<PracticeOverview>("/practice", ["practice"]);
  const { hasAccounts, isDemonstration, role } = useMe();
  const makesPictures = role === "photographer" || role === "lead";
  const { isEmpty = false } =
    useAnswer<FirstRunState>(makesPictures ? "/first-run" : null, ["practice"]).data ?? {};
  const makeOwn = useAct(() => ask("POST", "/practice/own", {}), { say: () => overview.madeOwn });
  return (
    <PracticePage here="" title={overview.title}>
      <Answered of={practice}>
        {({ isOwn, folder, says, holds, faults }) => (
          <>
            {holds && (
              <div>
                <h2>{holds.department}</h2>
                <p className="quiet">{overview.version(holds.version)}</p>
              </div>
            )}
            <p className={css.text}>{overview.says}</p>
            {!isOwn && (
              <div className={css.note}>
                <p>{overview.notOwn}</p>
                <p>
                  <Button
                    look="chief"
                    onPress={() => makeOwn.mutate(undefined)}
                    isDisabled={makeOwn.isPending}
                  >
                    {overview.makeOwn}
                  </Button>
                </p>
              </div>
            )}
            {faults.length > 0 && (
              <section className={css.section}>
                <h2>{overview.faultsTitle}</h2>
                <p>{overview.faultsSays}</p>
                <FaultList faults={faults} withLinks />
              </section>
            )}
            {holds && (
              <ul className={css.lines}>
                <Line to="views" name={places.views} says={overview.viewSets(holds.viewSets, holds.views)} />
                <Line
                  to="kit"
                  name={places.kit}
                  says={overview.kit(holds.kitToSee)}
                  isWarning={holds.kitToSee > 0}
                />
                <Line to="people" name={places.people} says={overview.people(hasAccounts)} />
                <Line
                  to="wording"
                  name={places.wording}
                  says={overview.wording(holds.wordingsToSet)}
                  isWarning={holds.wordingsToSet > 0}
                />
                <Line
                  to="retention"
                  name={places.retention}
                  says={overview.retention(holds.retentionRules)}
                />
                <Line to="keeping" name={places.keeping} says={overview.keeping} />
                <Line to="figures" name={places.figures} says={overview.figures} />
                {isOwn && (
                  <Line to="file/department.yaml" name={overview.department} says={overview.departmentSays} />
                )}
                {isEmpty && <Line to="first-run" name={overview.firstRun} says={overview.firstRunSays} />}
                {isDemonstration && (
                  <Line to="remove-demonstration" name={overview.removeDemo} says={overview.removeDemoSays} />
                )}
              </ul>
            )}
            <p className={`${css.small} ${css.text}`}>{isOwn ? overview.lies(folder) : says}</p>
          </>
        )}
      </Answered>
    </PracticePage>
  );
}

function Line(props: {
  readonly to: string;
  readonly name: string;
  readonly says: string;
  readonly isWarning?: boolean;
}) {
  const { to, name, says, isWarning = false } = props;
  return (
    <li className={css.line}>
      <Routed href={`/practice/${to}`}>{name}</Routed>
      <span className={isWarning ? css.warn : "quiet"}>
        {isWarning && "○ "}
        {says}
      </span>
    </li>
  );
}
