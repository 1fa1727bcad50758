import type { ShownPlan as Plan } from "@samescale/server";
import { words } from "../../../words/index.ts";
import css from "./plan.module.css";
import { PlannedView } from "./planned-view.tsx";

const say = words.plan;

/** A plan: its views in working order, then what cannot be made there and the ways out. */
export function ShownPlan({ plan }: { readonly plan: Plan }) {
  const { viewSet, place, body, minutes, views, refused, repeatsSays } = plan;
  const warnings = views.flatMap((view) => view.warnings);
  const shared = [...new Set(warnings.filter((says, i) => warnings.indexOf(says) !== i))];
  const cautions = [...new Set(views.flatMap((view) => view.cautions))];
  return (
    <div className={css.plan}>
      <p className="quiet">
        {[
          viewSet.name,
          place.name,
          say.room((place.freeMm / 1000).toFixed(1)),
          body.name,
          say.minutes(Math.ceil(minutes)),
        ].join(" · ")}
      </p>
      {repeatsSays.map((text) => (
        <p key={text}>{text}</p>
      ))}
      {cautions.map((caution) => (
        <p key={caution} className={css.caution}>
          {caution}
        </p>
      ))}
      <Refused refused={refused} />
      {shared.map((says) => (
        <p key={says} className={css.warning}>
          {says}
        </p>
      ))}
      {views.map((planned, i) => (
        <PlannedView key={planned.view.key} planned={planned} number={i + 1} saidOnce={shared} />
      ))}
    </div>
  );
}

/** Views that cannot be made for the same reason are told together. */
function Refused({ refused }: { readonly refused: Plan["refused"] }) {
  const alike = Map.groupBy(refused, ({ reason, alternatives }) => [reason, ...alternatives].join("\n"));
  return [...alike.values()].map((views) => {
    const { reason, alternatives } = views[0]!;
    return (
      <section key={reason} className={css.refused}>
        <h2>
          {say.refused}: {views.map(({ view }) => view.name).join(", ")}
        </h2>
        <p>{reason}</p>
        {alternatives.length > 0 && (
          <>
            <p className="quiet">{say.waysOut}</p>
            <ol>
              {alternatives.map((text) => (
                <li key={text}>{text}</li>
              ))}
            </ol>
          </>
        )}
      </section>
    );
  });
}
