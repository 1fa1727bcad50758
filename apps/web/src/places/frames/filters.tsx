import type { FoundFrames } from "@samescale/server";
import { useEffect, useState } from "react";
import { Choice } from "../../parts/choice.tsx";
import { Field } from "../../parts/field.tsx";
import { words } from "../../words/index.ts";
import type { FilterName, FramesAddress } from "./address.ts";
import css from "./frames.module.css";

const { frames: say } = words;
type Change = (change: Partial<Record<FilterName | "text", string | null>>) => void;
const ANY = "any";
export const FIND_ID = "find-frames";

/** What can be looked for and what can be hidden; each value with how many frames have it. */
export function Filters({
  address,
  counted,
  onChange,
}: {
  readonly address: FramesAddress;
  readonly counted: FoundFrames["counted"];
  readonly onChange: Change;
}) {
  const { filters } = address;
  const facets = counted?.all.facets ?? {};
  const choice = (name: "view" | "scale" | "measured" | "sensitive" | "frame") => (
    <Choice
      key={name}
      label={say.filter[name]}
      value={filters[name] ?? ANY}
      options={optionsOf(facets[name], filters[name])}
      onChange={(value) => onChange({ [name]: value === ANY ? null : value })}
    />
  );
  const verdict = filters.checked ?? filters.verdict;
  return (
    <details className={css.filters}>
      <summary>{say.filters}</summary>
      <div className={css.filterRow}>
        <Choice
          label={say.filter.verdict}
          value={verdict ?? ANY}
          options={optionsOf({ ...facets.verdict, ...only(facets.checked, "not-checked") }, verdict)}
          onChange={(value) =>
            onChange(
              value === "not-checked"
                ? { checked: value, verdict: null }
                : { checked: null, verdict: value === ANY ? null : value },
            )
          }
        />
        {(["view", "scale", "measured", "sensitive", "frame"] as const).map(choice)}
        {(["from", "until"] as const).map((name) => (
          <DayField
            key={`${name} ${filters[name] ?? ""}`}
            label={say.filter[name]}
            day={filters[name] ?? ""}
            onDay={(day) => onChange({ [name]: day })}
          />
        ))}
      </div>
    </details>
  );
}

/** A day as it is written everywhere here; the browser's own field would write it in its own way. */
function DayField({
  label,
  day,
  onDay,
}: {
  readonly label: string;
  readonly day: string;
  readonly onDay: (day: string | null) => void;
}) {
  const [typed, setTyped] = useState(day);
  const type = (text: string) => {
    setTyped(text);
    const isDay = /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(text));
    if (isDay || (text === "" && day !== "")) onDay(text || null);
  };
  return (
    <Field
      label={label}
      hint={say.filter.day}
      value={typed}
      onChange={type}
      maxLength={10}
      inputMode="numeric"
    />
  );
}

const only = (counts: Readonly<Record<string, number>> | undefined, value: string) =>
  counts?.[value] ? { [value]: counts[value] } : {};

/** Values that are there, the most frequent first, and the chosen one whether it is there or not. */
function optionsOf(counts: Readonly<Record<string, number>> = {}, chosen: string | undefined) {
  const found = { ...(chosen && { [chosen]: 0 }), ...counts };
  const values = Object.entries(found).toSorted(([, one], [, other]) => other - one);
  return [
    { value: ANY, label: say.any },
    ...values.map(([value, n]) => ({ value, label: say.counted(n, say.values[value] ?? value) })),
  ];
}

/** The words that somebody looks for; asked when they pause. */
export function FindField({
  text,
  onFind,
}: {
  readonly text: string;
  readonly onFind: (text: string) => void;
}) {
  const [typed, setTyped] = useState(text);
  useEffect(() => setTyped(text), [text]);
  useEffect(() => {
    if (typed === text) return;
    const pause = setTimeout(() => onFind(typed), 350);
    return () => clearTimeout(pause);
  }, [typed, text, onFind]);
  return (
    <div className={css.find}>
      <Field
        id={FIND_ID}
        type="search"
        label={say.find}
        hint={say.findHint}
        value={typed}
        maxLength={300}
        onChange={setTyped}
      />
    </div>
  );
}
