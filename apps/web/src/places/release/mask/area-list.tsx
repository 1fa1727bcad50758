import type { KeyboardEvent } from "react-aria-components";
import { Button } from "../../../parts/button.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { words } from "../../../words/index.ts";
import css from "./mask.module.css";
import { moved, resized, type SizePx } from "./shapes.ts";
import { kindOptions } from "./tool-bar.tsx";
import type { Drawing } from "./use-drawing.ts";
import type { DrawnArea, MaskSteps } from "./use-mask.ts";

const { mask: say } = words.release;

const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};
/** One press moves by so many of the picture's width. */
const STEP = 1 / 200;

/** What a person drew: each can be named anew, moved and resized by keys, removed. */
export function AreaList({
  kinds,
  drawing,
  size,
  steps: { work, change },
}: {
  readonly kinds: readonly string[];
  readonly drawing: Drawing;
  readonly size: SizePx;
  readonly steps: MaskSteps;
}) {
  const put = (changed: DrawnArea, isSameStep = false) =>
    change({ areas: work.areas.map((area) => (area.id === changed.id ? changed : area)) }, isSameStep);

  function nudge(area: DrawnArea, event: KeyboardEvent): void {
    const [dx, dy] = ARROWS[event.key] ?? [0, 0];
    if (dx === 0 && dy === 0) {
      event.continuePropagation();
      return;
    }
    event.preventDefault();
    drawing.select(area.id);
    const by = Math.max(1, Math.round(size.widthPx * STEP));
    const polygon = event.shiftKey
      ? resized(area.polygon, 2 * dx * by, -2 * dy * by, size)
      : moved(area.polygon, dx * by, dy * by, size);
    put({ ...area, polygon }, event.repeat);
  }

  return (
    <section className={css.part} aria-labelledby="drawn">
      <h2 id="drawn">{say.drawn}</h2>
      {work.areas.length === 0 && <p className="quiet">{say.noneDrawn}</p>}
      <ul className={css.areas}>
        {work.areas.map((area, i) => (
          <li key={area.id} data-chosen={area.id === drawing.selected}>
            <Choice
              label={say.area(i + 1, say.kinds[area.kind] ?? area.kind)}
              options={kindOptions(kinds)}
              value={area.kind}
              onChange={(kind) => put({ ...area, kind })}
            />
            <div className={css.toolButtons}>
              <Button
                aria-label={say.moveArea(i + 1)}
                onPress={() => drawing.select(area.id)}
                onKeyDown={(event) => nudge(area, event)}
              >
                {say.move}
              </Button>
              <Button
                aria-label={say.removeArea(i + 1)}
                onPress={() => change({ areas: work.areas.filter(({ id }) => id !== area.id) })}
              >
                {say.remove}
              </Button>
            </div>
          </li>
        ))}
      </ul>
      {work.areas.length > 0 && <p className="quiet">{say.nudge}</p>}
    </section>
  );
}
