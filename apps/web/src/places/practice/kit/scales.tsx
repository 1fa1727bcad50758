import type { PracticeChanged, ShownScales } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import { usePracticeChange } from "../use-practice-change.ts";
import { RecordScale } from "./record-scale.tsx";

const { scales: say } = words.practice.kit;
const { cancel } = words.practice;

/** Our own scales printed, and what scales measured. */
export function Scales() {
  const scales = useAnswer<ShownScales>("/practice/scales", ["practice"]);
  const [isRecording, setRecording] = useState(false);
  return (
    <PracticePage
      here="kit"
      title={say.title}
      acts={
        <Button look="chief" onPress={() => setRecording(true)}>
          {say.record}
        </Button>
      }
    >
      <p className={css.text}>{say.says}</p>
      <Print />
      <Answered of={scales}>
        {(known) => (
          <>
            {known.scales.length === 0 ? (
              <Empty title={say.none}>
                <p>{say.noneSays}</p>
              </Empty>
            ) : (
              <ul className={css.lines}>
                {known.scales.map((scale) => (
                  <Scale key={scale.id} scale={scale} />
                ))}
              </ul>
            )}
            {isRecording && <RecordScale known={known} onClose={() => setRecording(false)} />}
          </>
        )}
      </Answered>
    </PracticePage>
  );
}

type Kind = keyof typeof say.kinds;
type Paper = keyof typeof say.papers;

function Print() {
  const [kind, setKind] = useState<Kind>("straight-50");
  const [paper, setPaper] = useState<Paper>("a4");
  const [count, setCount] = useState("4");
  const isCount = /^\d{1,3}$/.test(count) && Number(count) >= 1 && Number(count) <= 100;
  const href = `/api/practice/scales/sheet.pdf?kind=${kind}&paper=${paper}&count=${count}`;
  return (
    <section className={css.section}>
      <h2>{say.print}</h2>
      <p className={css.text}>{say.printSays}</p>
      <div className={css.form}>
        <Choice
          label={say.kind}
          options={Object.entries(say.kinds).map(([value, label]) => ({ value: value as Kind, label }))}
          value={kind}
          onChange={setKind}
        />
        <Choice
          label={say.paper}
          options={Object.entries(say.papers).map(([value, label]) => ({ value: value as Paper, label }))}
          value={paper}
          onChange={setPaper}
        />
        <Field
          label={say.count}
          value={count}
          onChange={setCount}
          inputMode="numeric"
          maxLength={3}
          problem={isCount ? null : "1–100"}
        />
      </div>
      <p>
        <Button isDisabled={!isCount} onPress={() => location.assign(href)}>
          {say.download}
        </Button>
      </p>
    </section>
  );
}

function Scale({ scale }: { readonly scale: ShownScales["scales"][number] }) {
  const { id, kind, nominalMm, withdrawn, measuredOn, by, lengths, dueOn, isDue, measurements } = scale;
  const [isOpen, setOpen] = useState(false);
  const [why, setWhy] = useState("");
  const withdraw = usePracticeChange(
    () => ask<PracticeChanged>("POST", `/practice/scales/${encodeURIComponent(id)}/withdraw`, { why }),
    () => say.withdrawnSaid(id),
  );
  return (
    <li className={css.line}>
      <span>
        <span className={css.strong}>{id}</span>
        <br />
        <span className={css.small}>
          {kind}, {nominalMm} mm
        </span>
      </span>
      <span className={css.small}>
        {lengths
          .map(({ what, nominalMm: nominal, measuredMm }) => say.length(what, nominal, measuredMm))
          .join("; ")}
        <br />
        {say.measuredBy(measuredOn, by, measurements)}
        {" · "}
        {withdrawn ? (
          <span className={css.warn}>○ {say.withdrawn(withdrawn)}</span>
        ) : isDue ? (
          <span className={css.warn}>○ {say.isDue(dueOn)}</span>
        ) : (
          say.due(dueOn)
        )}
      </span>
      {withdrawn === null ? (
        <Button onPress={() => setOpen(true)} aria-label={say.withdrawOf(id)}>
          {say.withdraw}
        </Button>
      ) : (
        <span />
      )}
      <Dialog title={say.withdrawOf(id)} isOpen={isOpen} onClose={() => setOpen(false)}>
        <form
          className={css.section}
          onSubmit={(event) => {
            event.preventDefault();
            withdraw.mutate(undefined, { onSuccess: () => setOpen(false) });
          }}
        >
          <Field
            label={say.why}
            value={why}
            onChange={setWhy}
            hint={say.whyHint}
            maxLength={200}
            isRequired
          />
          <p className={css.row}>
            <Button type="submit" look="chief" isDisabled={why.trim() === ""}>
              {say.withdraw}
            </Button>
            <Button onPress={() => setOpen(false)}>{cancel}</Button>
          </p>
        </form>
      </Dialog>
    </li>
  );
}
