import type { FoundFrames } from "@samescale/server";
import { Button } from "../../parts/button.tsx";
import { words } from "../../words/index.ts";
import { FILTERS, type FilterName, type FramesAddress, NO_FILTERS } from "./address.ts";
import css from "./frames.module.css";

const { frames: say } = words;
type Change = (change: Readonly<Record<string, string | null>>) => void;

/** How many frames there are, how many are hidden and by what, and one act that shows all. Never silent. */
export function Hides({
  address: { where, filters },
  counted,
  onChange,
}: {
  readonly address: FramesAddress;
  readonly counted: FoundFrames["counted"];
  readonly onChange: Change;
}) {
  if (!counted) return null;
  const chosen = FILTERS.filter((name) => filters[name]);
  const { all, shown, aside } = counted;
  const isAside = where.aside === "yes";
  const isMore = all.more;
  return (
    <div className={css.hides}>
      <p role="status">
        {chosen.length === 0 ? (
          <strong>{isAside ? say.countAside(all.matches, isMore) : say.count(all.matches, isMore)}</strong>
        ) : (
          <>
            <strong>
              {shown.more ? say.count(shown.matches, true) : say.shows(shown.matches, all.matches, isMore)}
            </strong>
            {`, ${say.hides(all.matches - shown.matches, isMore)}:`}
          </>
        )}
      </p>
      {chosen.map((name) => (
        <Button
          key={name}
          aria-label={say.drop(
            say.because(labelOf(name), say.values[filters[name] ?? ""] ?? filters[name] ?? ""),
          )}
          onPress={() => onChange({ [name]: null })}
        >
          {say.because(labelOf(name), say.values[filters[name] ?? ""] ?? filters[name] ?? "")}
          <span aria-hidden="true">×</span>
        </Button>
      ))}
      {chosen.length > 0 && (
        <Button look="chief" onPress={() => onChange(NO_FILTERS as Record<string, null>)}>
          {say.showAll}
        </Button>
      )}
      {isAside ? (
        <p>
          {say.asideNow} <Button onPress={() => onChange({ aside: null })}>{say.backFromAside}</Button>
        </p>
      ) : (
        aside > 0 && (
          <Button look="bare" onPress={() => onChange({ aside: "yes" })}>
            {say.aside(aside)}
          </Button>
        )
      )}
    </div>
  );
}

const labelOf = (name: FilterName): string => say.filter[name === "checked" ? "verdict" : name];
