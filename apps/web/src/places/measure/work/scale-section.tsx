import type { ScaleAnswer } from "@samescale/picture/planimetry";
import type { FrameAtMeasure } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { useKeys } from "../../../shell/keys.ts";
import type { Look } from "../../../viewer/viewer.tsx";
import { words } from "../../../words/index.ts";
import css from "../measure.module.css";
import { wholeOf } from "../reading/graduations.tsx";
import { ReadOtherwise } from "../reading/read-otherwise.tsx";
import { ReadingFacts } from "../reading/reading-facts.tsx";
import type { XY } from "../tools/tool.ts";

const w = words.measure.reading;

interface ScaleSectionProps {
  readonly at: FrameAtMeasure;
  readonly mayChange: boolean;
  readonly isShown: boolean;
  readonly onShow: (isShown: boolean) => void;
  readonly onLook: (look: Look) => void;
  readonly points: readonly XY[];
  readonly isPointing: boolean;
  readonly onPointing: (isPointing: boolean) => void;
  readonly onTried: (scale: ScaleAnswer | null) => void;
}

/** The scale: what was read, and reading it otherwise. */
export function ScaleSection(props: ScaleSectionProps) {
  const { at, mayChange, onPointing, onTried } = props;
  const { reading, frame } = at;
  const isUnsure = reading !== null && (reading.isUnitUnsure || !reading.scale.found);
  const [isOpen, setOpen] = useState(false);
  const read = useAct(() => ask("POST", `/measure/frames/${frame.frameId}/reading`, { said: {} }));
  const look = () => reading?.scale.found && props.onLook(wholeOf(reading.scale.scales));
  useKeys(words.measure.keys, [
    { key: "r", does: w.lookAtIt, run: look },
    { key: "h", does: props.isShown ? w.hide : w.show, run: () => props.onShow(!props.isShown) },
  ]);
  const isOtherwise = mayChange && (isOpen || isUnsure);
  return (
    <section className={css.stack} aria-labelledby="scale-title">
      <h2 id="scale-title">{w.title}</h2>
      <ReadingFacts reading={reading} isShown={props.isShown} onShow={props.onShow} onLook={look} />
      {mayChange && reading === null && (
        <Button look="chief" isDisabled={read.isPending} onPress={() => read.mutate(undefined)}>
          {read.isPending ? w.reading : w.read}
        </Button>
      )}
      {mayChange && reading !== null && !isOtherwise && (
        <Button look="bare" onPress={() => setOpen(true)}>
          {w.otherwise}
        </Button>
      )}
      {isOtherwise && (
        <ReadOtherwise
          frameId={frame.frameId}
          isUnsure={isUnsure}
          points={props.points}
          isPointing={props.isPointing}
          onPointing={onPointing}
          onTried={onTried}
          onEnd={() => {
            setOpen(false);
            onPointing(false);
            onTried(null);
          }}
        />
      )}
    </section>
  );
}
