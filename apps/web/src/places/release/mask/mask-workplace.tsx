import type { OutgoingPreview, ProposedMask } from "@samescale/server";
import { useMutation, useQueryClient } from "@tanstack/react-query";
import { useRef, useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { notify } from "../../../shell/notices.ts";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import { AreaList } from "./area-list.tsx";
import { Canvas } from "./canvas.tsx";
import css from "./mask.module.css";
import type { MaskPlaceProps } from "./mask-place.tsx";
import { Proposals } from "./proposals.tsx";
import { Questions } from "./questions.tsx";
import { ToolBar } from "./tool-bar.tsx";
import { type Tool, useDrawing } from "./use-drawing.ts";
import { type MaskWork, useMaskSteps, type XY } from "./use-mask.ts";

const { mask: say } = words.release;

/** The picture with what is covered, the proposals, what was drawn, the ten questions, and the confirmation by name. */
export function MaskWorkplace({
  of,
  frameId,
  name,
  sha256,
  scope,
  onBack,
  seen,
  first,
}: MaskPlaceProps & { readonly seen: ProposedMask; readonly first: MaskWork }) {
  const me = useMe();
  const steps = useMaskSteps(first);
  const { work } = steps;
  const { proposals } = seen;
  const [tool, setTool] = useState<Tool>("box");
  const [kind, setKind] = useState("face");
  const scale = useRef(1);
  const drawing = useDrawing(tool, kind, proposals, steps, () => scale.current);
  const [preview, setPreview] = useState<OutgoingPreview | null>(null);

  const show = useAct(() => {
    const covered = proposals.areas.filter((_, i) => work.proposed[i] === "cover");
    const areas = [...covered, ...work.areas]
      .filter((area) => of.kinds.includes(area.kind))
      .map(({ kind: what, polygon }: { kind: string; polygon: readonly XY[] }) => ({ kind: what, polygon }));
    return ask<OutgoingPreview>("POST", `/release/frames/${frameId}/preview`, { scope, areas });
  });
  const client = useQueryClient();
  // What is wrong is said beside the button: a notice at the lower edge would lie over it.
  const confirm = useMutation({
    mutationFn: () =>
      ask("POST", `/release/frames/${frameId}/mask`, {
        proposals: seen.sha256,
        proposed: work.proposed,
        areas: work.areas.map(({ kind: what, polygon }) => ({ kind: what, polygon })),
        answers: work.answers,
      }),
    onSettled: () => client.invalidateQueries(),
  });
  const open = {
    questions: of.questions.filter((question) => work.answers[question.kind] === undefined).length,
    proposals: work.proposed.filter((said) => said === null).length,
  };
  const isAnswered = open.questions + open.proposals === 0;
  const showIt = () =>
    preview ? setPreview(null) : show.mutate(undefined, { onSuccess: (made) => setPreview(made) });
  const undo = () => {
    if (!drawing.back()) steps.undo();
  };
  useKeys(say.keys, [
    { key: "b", does: say.keyBox, run: () => setTool("box") },
    { key: "p", does: say.keyPoints, run: () => setTool("points") },
    { key: "m", does: say.keyChange, run: () => setTool("change") },
    { key: "c", does: say.keyClose, run: drawing.close },
    { key: "u", does: say.keyUndo, run: undo },
    { key: "v", does: say.keyPreview, run: showIt },
  ]);

  return (
    <PlaceFrame
      title={say.title(name)}
      acts={<Button onPress={onBack}>{say.back}</Button>}
      facts={
        <div className={css.said}>
          <Proposals proposals={proposals} steps={steps} />
          <AreaList kinds={of.kinds} drawing={drawing} size={proposals} steps={steps} />
          <Questions questions={of.questions} steps={steps} open={open.questions} />
          {confirm.error !== null && <Problem report={reportFrom(confirm.error)} />}
          <div className={css.confirm}>
            {!isAnswered && <p role="status">{say.leftToDo(open.questions, open.proposals)}</p>}
            <Button
              look="chief"
              isDisabled={!isAnswered || confirm.isPending}
              onPress={() =>
                confirm.mutate(undefined, {
                  onSuccess: () => {
                    notify({ say: say.confirmed(name) });
                    onBack();
                  },
                })
              }
            >
              {say.confirm}
            </Button>
            <p className="quiet">{say.confirmAs(me.name)}</p>
          </div>
        </div>
      }
    >
      <div className={css.work}>
        <p className={css.caution}>{say.eyes}</p>
        {preview ? (
          <figure className={css.preview}>
            <img src={`data:image/jpeg;base64,${preview.jpeg}`} alt={words.release.preview.alt(name)} />
            <figcaption>
              {say.destroyed} {words.release.preview.covered((100 * preview.masked).toFixed(1))}.
              {preview.why && <strong role="alert"> {preview.why}.</strong>}
            </figcaption>
          </figure>
        ) : (
          <Canvas
            sha256={sha256}
            name={name}
            proposals={proposals}
            work={work}
            drawing={drawing}
            isChanging={tool === "change"}
            scale={scale}
          />
        )}
        <ToolBar
          kinds={of.kinds}
          tool={tool}
          kind={kind}
          isPreview={preview !== null}
          isBusy={show.isPending}
          canClose={drawing.canClose}
          canUndo={steps.canUndo || drawing.sketch.length > 0}
          onTool={setTool}
          onKind={setKind}
          onClose={drawing.close}
          onUndo={undo}
          onPreview={showIt}
        />
      </div>
    </PlaceFrame>
  );
}
