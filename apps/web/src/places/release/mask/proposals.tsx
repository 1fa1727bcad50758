import type { ProposedMask } from "@samescale/server";
import { Choices } from "../../../parts/choice.tsx";
import { words } from "../../../words/index.ts";
import css from "./mask.module.css";
import type { MaskSteps, Said } from "./use-mask.ts";

const { mask: say } = words.release;

/** What was found: each is covered or left, by a person. */
export function Proposals({
  proposals,
  steps: { work, change },
}: {
  readonly proposals: ProposedMask["proposals"];
  readonly steps: MaskSteps;
}) {
  const { areas, notLookedFor } = proposals;
  return (
    <section className={css.part} aria-labelledby="proposed">
      <h2 id="proposed">{say.proposed}</h2>
      {areas.length === 0 && <p>{say.noneProposed}</p>}
      {areas.map(({ kind, why }, i) => (
        <Choices
          // biome-ignore lint/suspicious/noArrayIndexKey: the proposals of one look never change.
          key={i}
          label={`${say.area(i + 1, say.kinds[kind] ?? kind)} (${why})`}
          options={[
            { value: "cover", label: say.cover },
            { value: "leave", label: say.leaveSeen },
          ]}
          value={work.proposed[i] ?? null}
          onChange={(said: Said) =>
            change({ proposed: work.proposed.map((before, j) => (i === j ? said : before)) })
          }
        />
      ))}
      <p className="quiet">
        {say.help}{" "}
        {notLookedFor.length > 0 &&
          say.notLooked(notLookedFor.map((kind) => say.kinds[kind] ?? kind).join(", "))}
      </p>
    </section>
  );
}
