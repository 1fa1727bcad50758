import type { ShownRetention } from "@samescale/server";
import { Link, useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import { Holds } from "./holds.tsx";
import { Proposal } from "./proposal.tsx";
import { Trash } from "./trash.tsx";

const { retention: say } = words.practice;
const DAY = /^\d{4}-\d{2}-\d{2}$/;

/** How long pictures are kept, what is over its time, what is held, what was put aside. */
export function Retention() {
  const [wanted, want] = useSearchParams();
  const typed = wanted.get("on") ?? "";
  const on = DAY.test(typed) && !Number.isNaN(Date.parse(typed)) ? typed : null;
  const retention = useAnswer<ShownRetention>(`/practice/retention${on ? `?on=${on}` : ""}`, [
    ...["practice", "hold", "original", "frame"],
  ]);
  return (
    <PracticePage here="retention">
      <Answered of={retention}>
        {(one) => (
          <>
            <section className={css.section}>
              <h2>{say.rules}</h2>
              <p className={css.text}>
                {one.rules.length === 0 ? say.noRules : say.rulesSays} {say.majority(one.ageOfMajority)}
              </p>
              <ul className={css.lines}>
                {one.rules.map((rule) => (
                  <li key={rule.name} className={css.line}>
                    <span className={css.strong}>{rule.name}</span>
                    <span>
                      {say.kept(rule.keepYears, rule.after)}
                      <br />
                      <span className={css.small}>
                        {ofWords(rule.of)} · {words.practice.views.marks[rule.mark]}: {rule.why}
                      </span>
                    </span>
                  </li>
                ))}
              </ul>
              <p>
                <Link href="/practice/file/department.yaml">{say.changeRules}</Link>
              </p>
            </section>
            <section className={css.section}>
              <h2>{say.proposals}</h2>
              <p className={css.text}>
                {say.proposalsSays} {!one.mayDestroy && say.onlyLead}
              </p>
              <div className={css.form}>
                <Field
                  label={say.on}
                  value={typed === "" ? one.today : typed}
                  onChange={(day) => want(day === one.today ? {} : { on: day }, { replace: true })}
                  maxLength={10}
                  problem={typed !== "" && on === null ? "YYYY-MM-DD" : null}
                />
              </div>
              {one.proposals.length === 0 ? (
                <p className="quiet">{say.noProposals(on ?? one.today)}</p>
              ) : (
                <ul className={css.lines}>
                  {one.proposals.map((proposal) => (
                    <Proposal
                      key={proposal.requestId}
                      proposal={proposal}
                      mayDestroy={one.mayDestroy && on === null}
                    />
                  ))}
                </ul>
              )}
            </section>
            <Holds holds={one.holds} mayLift={one.mayDestroy} />
            <Trash frames={one.trash} />
          </>
        )}
      </Answered>
    </PracticePage>
  );
}

function ofWords(of: ShownRetention["rules"][number]["of"]): string {
  const said = [
    of.kind && say.of[of.kind],
    of.child === undefined ? undefined : of.child ? say.of.child : say.of.adult,
    of.evidence === undefined ? undefined : of.evidence ? say.of.evidence : say.of.notEvidence,
    of.purpose && say.of.purpose(of.purpose),
  ].filter(Boolean);
  return said.length === 0 ? say.of.all : said.join(", ");
}
