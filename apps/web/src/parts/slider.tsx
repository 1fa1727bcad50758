import { Label, SliderOutput, SliderThumb, SliderTrack, Slider as Slides } from "react-aria-components";
import css from "./slider.module.css";

export interface SliderProps {
  readonly label: string;
  readonly value: number;
  readonly range: { readonly min: number; readonly max: number; readonly step: number };
  /** The value with its unit, as it is read. */
  readonly says: (value: number) => string;
  readonly onChange: (value: number) => void;
}

/** A number that is moved rather than typed: by pointer, touch, arrows, page and end keys. */
export function Slider({ label, value, range, says, onChange }: SliderProps) {
  return (
    <Slides
      className={css.slider ?? ""}
      minValue={range.min}
      maxValue={range.max}
      step={range.step}
      value={value}
      onChange={(next) => onChange(next as number)}
    >
      <Label className={css.label ?? ""}>{label}</Label>
      <SliderOutput className={css.output ?? ""}>{says(value)}</SliderOutput>
      <SliderTrack className={css.track ?? ""}>
        <SliderThumb className={css.thumb ?? ""} />
      </SliderTrack>
    </Slides>
  );
}
