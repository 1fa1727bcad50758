import type { PartSaid } from "@samescale/picture/planimetry";
import { useState } from "react";
import { Choices } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../measure.module.css";
import { lengthOf } from "../reading/two-points.tsx";
import type { Pair } from "../tools/two-points/collecting.ts";

const w = words.measure.part;
export type Surface = "flat" | "curved" | "limb";

interface PartSaidProps {
  readonly surface: Surface;
  readonly onSurface: (surface: Surface) => void;
  /** The limb's middle line, where it is marked. */
  readonly middle: Pair | null;
  readonly said: PartSaid;
  readonly onSaid: (said: PartSaid) => void;
}

/** What the person knows of the part that is measured: flat, a limb, curved by nobody knows how much. */
export function PartSaidForm({ surface, onSurface, middle, said, onSaid }: PartSaidProps) {
  const [girth, setGirth] = useState(said.limb?.girthMm?.toString() ?? "");
  const girthMm = lengthOf(girth);
  const sayLimb = (next: number | undefined) =>
    onSaid(middle && next ? { limb: { middle, girthMm: next } } : {});
  return (
    <div className={css.stack}>
      <Choices
        label={w.title}
        value={surface}
        onChange={(next) => {
          onSurface(next);
          if (next === "limb") sayLimb(girthMm);
          else onSaid(next === "curved" ? { isCurved: true } : {});
        }}
        options={[
          { value: "flat", label: w.flat },
          { value: "limb", label: w.limb },
          { value: "curved", label: w.curved },
        ]}
      />
      {surface === "limb" && (
        <>
          <p role="status">{middle ? w.middleDone : w.middle}</p>
          <Field
            label={w.girth}
            hint={w.girthHint}
            value={girth}
            onChange={(text) => {
              setGirth(text);
              sayLimb(lengthOf(text));
            }}
            problem={girth !== "" && !girthMm ? words.measure.reading.notNumber : null}
            inputMode="decimal"
          />
        </>
      )}
    </div>
  );
}
