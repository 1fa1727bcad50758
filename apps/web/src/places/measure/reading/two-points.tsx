import { Button } from "../../../parts/button.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../measure.module.css";
import type { XY } from "../tools/tool.ts";

const w = words.measure.reading;

export interface TwoPointsSaid {
  readonly lengthMm: string;
  readonly toleranceMm: string;
}

interface TwoPointsProps {
  readonly points: readonly XY[];
  readonly isPointing: boolean;
  readonly onPointing: (isPointing: boolean) => void;
  readonly said: TwoPointsSaid;
  readonly onSaid: (said: TwoPointsSaid) => void;
  /** null: something is missing. */
  readonly onRead: (() => void) | null;
}

/** Two places on the scale by hand, and how far apart they are. */
export function TwoPoints({ points, isPointing, onPointing, said, onSaid, onRead }: TwoPointsProps) {
  if (!isPointing) {
    return <Button onPress={() => onPointing(true)}>{w.byHand}</Button>;
  }
  const problemOf = (text: string) => (text.trim() !== "" && !lengthOf(text) ? w.notNumber : null);
  return (
    <fieldset className={css.stack}>
      <legend>
        <h3>{w.byHand}</h3>
      </legend>
      <p className="quiet">{w.byHandHelp}</p>
      <ol className={css.plainList} aria-live="polite">
        {points.map(([x, y], i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: points keep their order.
          <li key={i}>{w.point(i + 1, x, y)}</li>
        ))}
        {points.length < 2 && <li>{w.pointsLeft(2 - points.length)}</li>}
      </ol>
      <Field
        label={w.distance}
        value={said.lengthMm}
        onChange={(lengthMm) => onSaid({ ...said, lengthMm })}
        problem={problemOf(said.lengthMm)}
        inputMode="decimal"
      />
      <Field
        label={w.tolerance}
        hint={w.toleranceHint}
        value={said.toleranceMm}
        onChange={(toleranceMm) => onSaid({ ...said, toleranceMm })}
        problem={problemOf(said.toleranceMm)}
        inputMode="decimal"
      />
      <Button isDisabled={onRead === null} onPress={() => onRead?.()}>
        {w.read}
      </Button>
    </fieldset>
  );
}

/** A typed length above 0; undefined: it is none. */
export function lengthOf(text: string): number | undefined {
  const value = /^\d+([.,]\d+)?$/.test(text.trim()) ? Number(text.trim().replace(",", ".")) : Number.NaN;
  return value > 0 ? value : undefined;
}
