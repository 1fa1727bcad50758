import type { PracticeChanged, ScaleToMeasure, ShownScales } from "@samescale/server";
import { useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { usePracticeChange } from "../use-practice-change.ts";

const { scales: say } = words.practice.kit;
const { cancel } = words.practice;

/** What a scale measured. The id says whether it is one of our printed ones, and what has to be measured then. */
export function RecordScale({
  known,
  onClose,
}: {
  readonly known: ShownScales;
  readonly onClose: () => void;
}) {
  const { name } = useMe();
  const [typed, setTyped] = useState<Readonly<Record<string, string>>>({
    measuredOn: known.today,
    dueOn: yearAfter(known.today),
    by: name,
    resolutionMm: "0.25",
  });
  const id = (typed.id ?? "").trim();
  const scale = useAnswer<ScaleToMeasure>(
    id.length < 2 ? null : `/practice/scales/named?id=${encodeURIComponent(id)}`,
  ).data;
  const isBought = scale !== undefined && !scale.isPrinted;
  const record = usePracticeChange(
    () => ask<PracticeChanged>("POST", "/practice/scales", wantedFrom(typed, isBought)),
    () => say.recorded(id),
  );
  const field = (key: string, label: string, more: { hint?: string; isNumber?: boolean } = {}) => (
    <Field
      label={label}
      value={typed[key] ?? ""}
      onChange={(next) => setTyped({ ...typed, [key]: next })}
      maxLength={120}
      {...(more.hint && { hint: more.hint })}
      {...(more.isNumber && { inputMode: "decimal" as const })}
    />
  );
  return (
    <Dialog title={say.record} isOpen onClose={onClose}>
      <form
        className={css.section}
        onSubmit={(event) => {
          event.preventDefault();
          record.mutate(undefined, { onSuccess: onClose });
        }}
      >
        {field("id", say.id, { hint: say.idHint })}
        <p className="quiet" role="status">
          {scale && (scale.isPrinted ? say.isPrinted(scale.kind, scale.nominalMm) : say.isBought)}
        </p>
        <div className={css.form}>
          {isBought ? (
            <>
              <Choice
                label={say.boughtKind}
                options={known.boughtKinds.map((kind) => ({ value: kind, label: kind }))}
                value={typed.kind ?? null}
                onChange={(kind) => setTyped({ ...typed, kind })}
              />
              {field("nominalMm", say.nominal, { isNumber: true })}
              {field("measuredMm", say.measured, { isNumber: true })}
            </>
          ) : (
            <>
              {field("acrossMm", say.across, { hint: say.lineHint, isNumber: true })}
              {field("alongMm", say.along, { hint: say.lineHint, isNumber: true })}
              {field("printedOn", say.printedOn, { hint: "YYYY-MM-DD" })}
            </>
          )}
          {field("measuredOn", say.measuredOn, { hint: "YYYY-MM-DD" })}
          {field("dueOn", say.dueOn, { hint: "YYYY-MM-DD" })}
          {field("by", say.by)}
          {field("instrument", say.instrument, { hint: say.instrumentHint })}
          {field("resolutionMm", say.resolution, { hint: say.resolutionHint, isNumber: true })}
          {field("instrumentU95Mm", say.u95, { hint: say.u95Hint, isNumber: true })}
        </div>
        {record.error != null && <Problem report={reportFrom(record.error)} />}
        <p className={css.row}>
          <Button type="submit" look="chief" isDisabled={id === "" || record.isPending}>
            {say.record}
          </Button>
          <Button onPress={onClose}>{cancel}</Button>
        </p>
      </form>
    </Dialog>
  );
}

const NUMBERS = ["nominalMm", "measuredMm", "acrossMm", "alongMm", "resolutionMm", "instrumentU95Mm"];
const OF_BOUGHT = ["kind", "nominalMm", "measuredMm"];
const OF_PRINTED = ["acrossMm", "alongMm", "printedOn"];

/** Empty fields are left out; a number that is none is told by the server as it was typed. */
function wantedFrom(typed: Readonly<Record<string, string>>, isBought: boolean): object {
  const apart = isBought ? OF_PRINTED : OF_BOUGHT;
  const pairs = Object.entries(typed).flatMap(([key, text]) => {
    const plain = text.trim();
    if (plain === "" || apart.includes(key)) return [];
    const number = Number(plain.replace(",", "."));
    return [[key, NUMBERS.includes(key) && Number.isFinite(number) ? number : plain] as const];
  });
  return { by: "", instrument: "", ...Object.fromEntries(pairs) };
}

const yearAfter = (day: string): string =>
  `${Number(day.slice(0, 4)) + 1}${day.slice(4).replace("-02-29", "-02-28")}`;
