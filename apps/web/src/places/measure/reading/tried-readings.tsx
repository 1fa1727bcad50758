import type { ScaleAnswer } from "@samescale/picture/planimetry";
import type { ScaleSaid } from "@samescale/server";
import { Choices } from "../../../parts/choice.tsx";
import { words } from "../../../words/index.ts";
import { ratioSaid } from "../figures/said.ts";
import css from "../measure.module.css";
import type { SCALE_KINDS_SHOWN } from "./kinds.ts";

const w = words.measure.reading;

/** A reading as the person asked for it, not kept. */
export interface Tried {
  readonly said: ScaleSaid;
  readonly scale: ScaleAnswer;
}

interface TriedReadingsProps {
  readonly tried: readonly Tried[];
  readonly isBusy: boolean;
  readonly chosen: Tried | null;
  readonly onChoose: (one: Tried) => void;
}

/** Which of the readings fit, each with what it would mean; the chosen one is drawn over the picture. */
export function TriedReadings({ tried, isBusy, chosen, onChoose }: TriedReadingsProps) {
  const fitting = tried.filter(({ scale }) => scale.found);
  const not = tried.filter(({ scale }) => !scale.found);
  return (
    <div className={css.stack} aria-live="polite">
      {fitting.length > 0 && (
        <Choices
          label={w.title}
          value={String(chosen ? fitting.indexOf(chosen) : -1)}
          onChange={(index) => onChoose(fitting[Number(index)]!)}
          options={fitting.map((one, i) => ({ value: String(i), label: fits(one) }))}
        />
      )}
      {not.map(({ said, scale }) => (
        <p key={JSON.stringify(said)} className="quiet">
          {said.kind ? w.fitsNot(nameOf(said)) : !scale.found && scale.reason}
        </p>
      ))}
      {chosen?.scale.found &&
        chosen.scale.warnings.map((warning) => (
          <p key={warning} className={css.warning}>
            {warning}
          </p>
        ))}
      {isBusy && <p role="status">{w.reading}</p>}
    </div>
  );
}

const nameOf = ({ kind, twoPoints }: ScaleSaid): string =>
  twoPoints ? w.byHand : kind ? w.kinds[kind as (typeof SCALE_KINDS_SHOWN)[number]] : w.notSaid;

function fits({ said, scale }: Tried): string {
  if (!scale.found) return "";
  const { reproductionRatio, scales } = scale;
  const count = scales.reduce((sum, { ticks }) => sum + ticks.length, 0);
  return w.fits(nameOf(said), reproductionRatio && ratioSaid(reproductionRatio.value), count);
}
