import type { ScaleAnswer } from "@samescale/picture/planimetry";
import type { FrameAtMeasure, ScaleSaid } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../measure.module.css";
import type { XY } from "../tools/tool.ts";
import { KINDS_TRIED, SCALE_KINDS_SHOWN } from "./kinds.ts";
import { type Tried, TriedReadings } from "./tried-readings.tsx";
import { lengthOf, TwoPoints, type TwoPointsSaid } from "./two-points.tsx";

const w = words.measure.reading;
const MATERIALS = [
  "rigid-print",
  "printed-paper",
  "adhesive-label",
  "class-1",
  "class-2",
  "class-3",
] as const;
const NOT_SAID = "not-said";

interface ReadOtherwiseProps {
  readonly frameId: string;
  /** The reader does not know the unit: what fits is offered first. */
  readonly isUnsure: boolean;
  readonly points: readonly XY[];
  readonly isPointing: boolean;
  readonly onPointing: (isPointing: boolean) => void;
  /** Shows a reading that is not kept yet over the picture. */
  readonly onTried: (scale: ScaleAnswer | null) => void;
  readonly onEnd: () => void;
}

/** The scale read as the person says: its kind, its material, two points by hand. What is kept is kept as theirs. */
export function ReadOtherwise(props: ReadOtherwiseProps) {
  const { frameId, isUnsure, points, isPointing, onPointing, onTried, onEnd } = props;
  const [kind, setKind] = useState<string>(NOT_SAID);
  const [material, setMaterial] = useState<string>(NOT_SAID);
  const [height, setHeight] = useState("");
  const [byHand, setByHand] = useState<TwoPointsSaid>({ lengthMm: "", toleranceMm: "" });
  const [tried, setTried] = useState<readonly Tried[]>([]);
  const [chosen, setChosen] = useState<Tried | null>(null);

  const scaleHeightMm = height.trim() === "" ? null : lengthOf(height.replace("-", ""));
  const isBelow = height.trim().startsWith("-");
  const heightProblem = scaleHeightMm === undefined ? w.notNumber : null;
  const rest: ScaleSaid = {
    ...(material !== NOT_SAID && { material: material as (typeof MATERIALS)[number] }),
    ...(scaleHeightMm && { scaleHeightMm: isBelow ? -scaleHeightMm : scaleHeightMm }),
  };
  const path = `/measure/frames/${frameId}`;
  const choose = (one: Tried | null) => {
    setChosen(one);
    onTried(one?.scale ?? null);
  };

  const reading = useAct(async (wanted: readonly ScaleSaid[]) => {
    setTried([]);
    choose(null);
    let first: Tried | null = null;
    for (const said of wanted) {
      const scale = await ask<ScaleAnswer>("POST", `${path}/try-reading`, { said });
      const one = { said, scale };
      setTried((before) => [...before, one]);
      if (scale.found && !first) {
        first = one;
        choose(one);
      }
    }
  });
  const take = useAct(
    async ({ said }: Tried) => {
      await ask<FrameAtMeasure>("POST", `${path}/reading`, { said });
      onEnd();
    },
    { say: () => w.kept },
  );
  const takeIt = () => chosen && take.mutate(chosen);

  const length = lengthOf(byHand.lengthMm);
  const tolerance = byHand.toleranceMm.trim() === "" ? null : lengthOf(byHand.toleranceMm);
  const [from, to] = points;
  const isPairWhole = from !== undefined && to !== undefined && length && tolerance !== undefined;
  const readPair = () =>
    isPairWhole &&
    reading.mutate([
      {
        ...rest,
        twoPoints: { from, to, lengthMm: length, ...(tolerance !== null && { toleranceMm: tolerance }) },
      },
    ]);

  return (
    <div className={css.stack}>
      {isUnsure && (
        <div className={css.asked}>
          <p>
            <strong>{w.unsure}</strong>
          </p>
          <p className="quiet">{w.unsureHelp}</p>
          <Button
            look="chief"
            isDisabled={reading.isPending}
            onPress={() => reading.mutate(KINDS_TRIED.map((one) => ({ ...rest, kind: one })))}
          >
            {w.tryKinds}
          </Button>
        </div>
      )}
      <Choice
        label={w.kind}
        value={kind}
        onChange={setKind}
        options={[
          { value: NOT_SAID, label: w.notSaid },
          ...SCALE_KINDS_SHOWN.map((value) => ({ value, label: w.kinds[value] })),
        ]}
      />
      <Choice
        label={w.material}
        value={material}
        onChange={setMaterial}
        hint={w.materialHint}
        options={[
          { value: NOT_SAID, label: w.notSaid },
          ...MATERIALS.map((value) => ({ value, label: w.materials[value] })),
        ]}
      />
      <Field
        label={w.height}
        hint={w.heightHint}
        value={height}
        onChange={setHeight}
        problem={heightProblem}
        inputMode="decimal"
      />
      <Button
        isDisabled={reading.isPending || heightProblem !== null}
        onPress={() =>
          reading.mutate([
            { ...rest, ...(kind !== NOT_SAID && { kind: kind as (typeof SCALE_KINDS_SHOWN)[number] }) },
          ])
        }
      >
        {reading.isPending ? w.reading : w.read}
      </Button>
      <TwoPoints
        points={points}
        isPointing={isPointing}
        onPointing={onPointing}
        said={byHand}
        onSaid={setByHand}
        onRead={isPairWhole && !reading.isPending ? readPair : null}
      />
      <TriedReadings tried={tried} isBusy={reading.isPending} chosen={chosen} onChoose={choose} />
      <div className={css.acts}>
        <Button look="chief" isDisabled={!chosen?.scale.found || take.isPending} onPress={takeIt}>
          {take.isPending ? w.reading : w.take}
        </Button>
        <Button
          look="bare"
          onPress={() => {
            onTried(null);
            onEnd();
          }}
        >
          {w.stop}
        </Button>
      </div>
    </div>
  );
}
