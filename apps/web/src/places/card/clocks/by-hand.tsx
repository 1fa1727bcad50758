import { type FormEvent, useState } from "react";
import { Button } from "../../../parts/button.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";
import type { Correction } from "./clocks.tsx";

const said = words.card.clock;

/** What a photographed clock shows, or minutes with the person's reason. */
export function PutRightByHand({
  how,
  intakeId,
  onPut,
}: {
  readonly how: "frame" | "seconds";
  readonly intakeId: string;
  readonly onPut: (correction: Correction) => void;
}) {
  const [first, setFirst] = useState("");
  const [second, setSecond] = useState("");
  const minutes = Number(first.replace("−", "-").replace(",", "."));
  const isReady =
    first.trim() !== "" && second.trim() !== "" && (how === "frame" || Number.isFinite(minutes));
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (!isReady) return;
    onPut(
      how === "frame"
        ? { by: "frame", frameId: first.trim(), shows: second.trim() }
        : { by: "seconds", intakeId, offsetS: Math.round(minutes * 60), because: second.trim() },
    );
  };
  const [one, two] =
    how === "frame"
      ? [
          [said.frame, said.frameHint],
          [said.shows, said.showsHint],
        ]
      : [
          [said.minutes, said.minutesHint],
          [said.because, undefined],
        ];
  return (
    <form className={css.byHand} onSubmit={submit}>
      <Field
        label={one[0] ?? ""}
        {...(one[1] ? { hint: one[1] } : {})}
        value={first}
        onChange={setFirst}
        maxLength={80}
      />
      <Field
        label={two[0] ?? ""}
        {...(two[1] ? { hint: two[1] } : {})}
        value={second}
        onChange={setSecond}
        maxLength={500}
      />
      <Button type="submit" isDisabled={!isReady}>
        {said.put}
      </Button>
    </form>
  );
}
