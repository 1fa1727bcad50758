import { formatRatio } from "@samescale/optics";
import type { HeldCamera, RehearsalRoom } from "@samescale/server";
import { Button } from "../../parts/button.tsx";
import { Choices } from "../../parts/choice.tsx";
import { Slider } from "../../parts/slider.tsx";
import { words } from "../../words/index.ts";
import css from "./rehearse.module.css";

type Control = keyof RehearsalRoom["ranges"];

const GROUPS: Readonly<Record<keyof typeof words.rehearse.groups, readonly Control[]>> = {
  stand: ["distanceMm", "ratioSet"],
  turn: ["leanDeg", "swingDeg", "rollDeg", "aimXMm", "aimYMm"],
  light: ["exposureStops", "lampFromDeg", "lampElevationDeg"],
  scale: ["scaleXMm", "scaleYMm", "scaleTurnDeg", "scaleHeightMm"],
};
/** Only one lamp can be carried about. */
const OF_ONE_LAMP: readonly Control[] = ["lampFromDeg", "lampElevationDeg"];

const says = (control: Control, value: number): string =>
  control === "ratioSet" ? formatRatio(value) : words.rehearse.says[control](value);

/** What the hands can do. */
export function Controls(props: {
  readonly room: RehearsalRoom;
  readonly held: HeldCamera;
  readonly hold: (held: HeldCamera) => void;
}) {
  const { room, held, hold } = props;
  const change = (to: Partial<HeldCamera>) => hold({ ...held, ...to });
  return (
    <>
      {(Object.keys(GROUPS) as (keyof typeof GROUPS)[]).map((group) => (
        <section key={group} className={css.group}>
          <h2>{words.rehearse.groups[group]}</h2>
          {group === "stand" && (
            <Choices
              label={words.rehearse.lens}
              options={room.lensesMm.map((mm) => ({ value: String(mm), label: words.rehearse.lensMm(mm) }))}
              value={String(held.focalMm)}
              onChange={(mm) => change({ focalMm: Number(mm) as HeldCamera["focalMm"] })}
            />
          )}
          {group === "light" && (
            <Choices
              label={words.rehearse.light}
              options={room.lights.map((value) => ({ value, label: words.rehearse.lights[value] }))}
              value={held.light}
              onChange={(light) => change({ light })}
            />
          )}
          {GROUPS[group]
            .filter((control) => held.light === "one-lamp" || !OF_ONE_LAMP.includes(control))
            .map((control) => (
              <Slider
                key={control}
                label={words.rehearse.controls[control]}
                value={held[control]}
                range={room.ranges[control]}
                says={(value) => says(control, value)}
                onChange={(value) => change({ [control]: value })}
              />
            ))}
        </section>
      ))}
      <Button onPress={() => hold({ ...room.heldWell })}>{words.rehearse.holdWell}</Button>
    </>
  );
}
