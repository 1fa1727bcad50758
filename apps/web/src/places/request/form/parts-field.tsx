import { isOnOtherSide, partOfMark, sayMark } from "@samescale/practice/body";
import { useState } from "react";
import { Button } from "../../../parts/button.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import { MarkChooser } from "../body/mark-chooser.tsx";
import type { DraftMark, DraftPart, Side } from "./draft.ts";
import css from "./form.module.css";

const say = words.request.form;
const SIDES: readonly Side[] = ["left", "right", "both", "none"];

/** The parts of the body that are asked for, each with its side and its marks on the outline. */
export function PartsField({
  parts,
  onChange,
}: {
  readonly parts: readonly DraftPart[];
  readonly onChange: (parts: readonly DraftPart[]) => void;
}) {
  const [active, setActive] = useState(0);
  const at = Math.min(active, Math.max(0, parts.length - 1));
  const put = (i: number, part: DraftPart) => onChange(parts.map((one, j) => (j === i ? part : one)));

  const mark = (new_: DraftMark) => {
    const here = parts[at];
    if (here) {
      const named = here.part.trim() === "" ? partOfMark(new_) : null;
      put(at, { ...here, ...named, marks: [...here.marks, new_] });
      return;
    }
    // The first mark names its part; what it is called can be changed.
    onChange([{ ...(partOfMark(new_) ?? { part: "", side: "none" }), marks: [new_] }]);
  };
  const takeLast = () => {
    const here = parts[at];
    if (here && here.marks.length > 0) put(at, { ...here, marks: here.marks.slice(0, -1) });
  };
  const add = () => {
    onChange([...parts, { part: "", side: "none", marks: [] }]);
    setActive(parts.length);
  };
  return (
    <div className={css.parts}>
      <MarkChooser marks={parts.flatMap(({ marks }) => marks)} onMark={mark} onTakeLast={takeLast} />
      <div className={css.partList}>
        {parts.map((part, i) => (
          <PartEditor
            // biome-ignore lint/suspicious/noArrayIndexKey: parts are known by their place while they are typed
            key={i}
            part={part}
            isActive={i === at && parts.length > 1}
            onActive={parts.length > 1 ? () => setActive(i) : undefined}
            onChange={(next) => put(i, next)}
            onRemove={() => onChange(parts.filter((_, j) => j !== i))}
          />
        ))}
        <p>
          <Button onPress={add}>{say.addPart}</Button>
        </p>
      </div>
    </div>
  );
}

function PartEditor({
  part,
  isActive,
  onActive,
  onChange,
  onRemove,
}: {
  readonly part: DraftPart;
  readonly isActive: boolean;
  readonly onActive: (() => void) | undefined;
  readonly onChange: (part: DraftPart) => void;
  readonly onRemove: () => void;
}) {
  const { side, marks } = part;
  const setMark = (i: number, mark: DraftMark) =>
    onChange({ ...part, marks: marks.map((one, j) => (j === i ? mark : one)) });
  return (
    <fieldset className={css.part}>
      <legend className="only-heard">{part.part || say.part}</legend>
      <div className={css.partRow}>
        <Field label={say.part} value={part.part} onChange={(text) => onChange({ ...part, part: text })} />
        <Choice
          label={say.side}
          options={SIDES.map((value) => ({ value, label: say.sides[value] }))}
          value={side}
          onChange={(next) => onChange({ ...part, side: next })}
        />
        <Button look="bare" onPress={onRemove} aria-label={say.removePart(part.part)}>
          ×
        </Button>
      </div>
      {marks.map((mark, i) => {
        const where = sayMark(mark);
        const isOther = isOnOtherSide(mark, side);
        return (
          <div key={`${mark.chart} ${mark.x} ${mark.y}`} className={css.markRow}>
            <Field
              label={say.marked(where)}
              value={mark.note ?? ""}
              onChange={(note) => setMark(i, { ...mark, note })}
              hint={say.note}
              problem={
                isOther && (side === "left" || side === "right")
                  ? say.otherSide(say.sides[side === "left" ? "right" : "left"], say.sides[side])
                  : null
              }
            />
            <Button
              look="bare"
              onPress={() => onChange({ ...part, marks: marks.filter((_, j) => j !== i) })}
              aria-label={say.removeMark(where)}
            >
              ×
            </Button>
          </div>
        );
      })}
      {isActive ? (
        <p className="quiet">{say.marksGo(part.part || say.part)}</p>
      ) : (
        onActive && <Button onPress={onActive}>{say.markHere(part.part)}</Button>
      )}
    </fieldset>
  );
}
