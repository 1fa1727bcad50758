import type { ShownPlan as Plan, PlanChoices } from "@samescale/server";
import { keepPreviousData, useQuery } from "@tanstack/react-query";
import { useDeferredValue, useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Choice, Choices, type Option } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import type { Whole } from "../form/draft.ts";
import css from "./plan.module.css";
import { ShownPlan } from "./shown-plan.tsx";

const say = words.plan;
const RULE = "by-rule";

interface Wanted {
  readonly viewSet: string;
  readonly place: string;
  readonly freeM: string;
  readonly side: "left" | "right" | "";
  readonly body: string;
  readonly lens: string;
}

/** A view set, a place, a side: the numbers follow at once and are kept when the person says so. */
export function PlanForm({ request, onKept }: { readonly request: Whole; readonly onKept: () => void }) {
  const choices = useAnswer<PlanChoices>("/plan-choices", ["practice"]);
  return (
    <Answered of={choices}>
      {(given) => <Planning request={request} choices={given} onKept={onKept} />}
    </Answered>
  );
}

function Planning({
  request: { code, details },
  choices,
  onKept,
}: {
  readonly request: Whole;
  readonly choices: PlanChoices;
  readonly onKept: () => void;
}) {
  const sides = new Set(details.parts.map(({ side }) => side));
  const [onlySide] = sides.size === 1 ? [...sides] : [];
  const [wanted, setWanted] = useState<Wanted>({
    viewSet: "",
    place: choices.places[0]?.key ?? "",
    freeM: "",
    side: onlySide === "left" || onlySide === "right" ? onlySide : "",
    body: RULE,
    lens: RULE,
  });
  const set = (some: Partial<Wanted>) => setWanted({ ...wanted, ...some });
  const viewSet = choices.viewSets.find(({ key }) => key === wanted.viewSet);
  const place = choices.places.find(({ key }) => key === wanted.place);
  const sent = useDeferredValue(planSent(wanted, viewSet?.needsSide ?? false));
  const path = `/requests/${code}/plan`;
  const tried = useQuery({
    queryKey: ["plan try", code, sent],
    queryFn: ({ signal }) => ask<Plan>("POST", `${path}/try`, sent, signal),
    enabled: viewSet !== undefined,
    placeholderData: keepPreviousData,
    gcTime: 0,
    meta: { topics: ["practice"] },
  });
  const keep = useAct(() => ask<Plan>("POST", path, sent), { say: () => say.kept });
  return (
    <div className={css.planning}>
      <div className={css.wishes}>
        <Choice
          label={say.viewSet}
          hint={say.viewSetHint}
          options={choices.viewSets.map(({ key, name, views }) => ({
            value: key,
            label: name,
            hint: say.views(views.length),
          }))}
          value={wanted.viewSet === "" ? null : wanted.viewSet}
          onChange={(next) => set({ viewSet: next })}
        />
        <Choice
          label={say.place}
          options={choices.places.map(({ key, name, freeMm }) => ({
            value: key,
            label: name,
            hint: say.room((freeMm / 1000).toFixed(1)),
          }))}
          value={wanted.place}
          onChange={(next) => set({ place: next, freeM: "" })}
        />
        <Field
          label={say.free}
          hint={place && say.freeHint((place.freeMm / 1000).toFixed(1))}
          inputMode="decimal"
          value={wanted.freeM}
          onChange={(freeM) => set({ freeM })}
        />
        {viewSet?.needsSide && (
          <Choices
            label={say.side}
            options={(["left", "right"] as const).map((value) => ({ value, label: say.sides[value] }))}
            value={wanted.side === "" ? null : wanted.side}
            onChange={(side) => set({ side })}
          />
        )}
        <Choice
          label={say.body}
          options={[{ value: RULE, label: say.first }, ...choices.bodies.map(kitOption)]}
          value={wanted.body}
          onChange={(body) => set({ body })}
        />
        <Choice
          label={say.lens}
          options={[{ value: RULE, label: say.byRule }, ...choices.lenses.map(kitOption)]}
          value={wanted.lens}
          onChange={(lens) => set({ lens })}
        />
        <p>
          <Button
            look="chief"
            isDisabled={!tried.isSuccess || keep.isPending || viewSet === undefined}
            onPress={() => keep.mutate(undefined, { onSuccess: onKept })}
          >
            {say.keep}
          </Button>
        </p>
      </div>
      <div>
        {viewSet === undefined ? (
          <p className="quiet">{say.noneHelp}</p>
        ) : (
          <Answered of={tried}>{(plan) => <ShownPlan plan={plan} />}</Answered>
        )}
      </div>
    </div>
  );
}

const kitOption = ({ id, name, unusable }: PlanChoices["bodies"][number]): Option => ({
  value: id,
  label: name,
  ...(unusable !== null && { hint: unusable }),
});

function planSent({ viewSet, place, freeM, side, body, lens }: Wanted, needsSide: boolean) {
  const freeMm = 1000 * Number(freeM.trim().replace(",", "."));
  return {
    viewSet,
    wishes: {
      place,
      ...(freeM.trim() !== "" && Number.isFinite(freeMm) && { freeMm }),
      ...(needsSide && side !== "" && { side }),
      ...(body !== RULE && { body }),
      ...(lens !== RULE && { lens }),
    },
  };
}
