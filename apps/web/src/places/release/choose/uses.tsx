import type { Reach, ReleaseChoices } from "@samescale/server";
import { Label, Radio, RadioGroup } from "react-aria-components";
import { useAnswer } from "../../../api/use-answer.ts";
import { Choice as OneOf } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { Link } from "../../../parts/link.tsx";
import { words } from "../../../words/index.ts";
import css from "../release.module.css";
import type { Changes, Choice } from "./use-choice.ts";

const { choose: say } = words.release;

export interface StepProps {
  readonly of: ReleaseChoices;
  readonly choice: Choice;
  readonly change: (changes: Changes, isStep?: boolean) => void;
}

/** What it is for: how far consent reaches now for each use, and why not further. */
export function Uses({ of, choice, change }: StepProps) {
  const reaches = useAnswer<Reach[]>(`/release/requests/${encodeURIComponent(of.code)}/uses`, [
    "consent",
    "mask",
    "frame",
    "request",
    "research",
  ]);
  const { use } = choice;
  return (
    <>
      <RadioGroup
        className={css.uses ?? ""}
        value={use?.scope ?? null}
        onChange={(scope) => change({ scope }, true)}
      >
        <Label className="only-heard">{say.what}</Label>
        {of.uses.map(({ scope, words: name }) => (
          <Radio key={scope} value={scope} className={css.use ?? ""}>
            <span className={css.useDot} aria-hidden="true" />
            <span className={css.useName}>{name}</span>
            <span className={css.useReach}>
              {reaches.data
                ?.filter((reach) => reach.scope === scope)
                .map((reach) => (
                  <ReachText key={reach.publication} reach={reach} />
                ))}
            </span>
          </Radio>
        ))}
      </RadioGroup>
      {use?.namesPublication && <Publication of={of} choice={choice} change={change} />}
      {use?.scope === "research" &&
        (of.projects.length === 0 ? (
          <p>
            {say.noProject} <Link to="/release/projects">{say.toProjects}</Link>
          </p>
        ) : (
          <div className={css.narrow}>
            <OneOf
              label={say.project}
              options={of.projects.map((name) => ({ value: name, label: name }))}
              value={choice.project}
              onChange={(project) => change({ project })}
            />
          </div>
        ))}
    </>
  );
}

function ReachText({ reach }: { readonly reach: Reach }) {
  const { may, of, publication, whys } = reach;
  return (
    <span className={may === 0 ? css.reachNone : css.reachSome}>
      <svg viewBox="0 0 20 20" aria-hidden="true">
        {may === of ? (
          <circle cx="10" cy="10" r="7" fill="currentColor" />
        ) : (
          <circle
            cx="10"
            cy="10"
            r="6.5"
            fill="none"
            stroke="currentColor"
            strokeWidth="2"
            strokeDasharray={may === 0 ? "3 3" : undefined}
          />
        )}
      </svg>
      <span>
        {publication && <strong>{publication}: </strong>}
        {may === of ? say.all(of) : may === 0 ? say.none : say.some(may, of)}
        {/* The last reason is the nearest: general ones come first, and are asked below. */}
        {whys.length > 0 && <span className="quiet">. {whys.at(0)!.why}.</span>}
      </span>
    </span>
  );
}

function Publication({ of, choice, change }: StepProps) {
  return (
    <div className={css.pair}>
      {of.publications.length > 0 && (
        <OneOf
          label={say.publicationsKnown}
          options={of.publications.map((name) => ({ value: name, label: name }))}
          value={of.publications.includes(choice.publication) ? choice.publication : null}
          onChange={(publication) => change({ publication })}
        />
      )}
      <Field
        label={say.publication}
        hint={say.publicationHint}
        value={choice.publication}
        onChange={(publication) => change({ publication })}
        maxLength={300}
      />
    </div>
  );
}
