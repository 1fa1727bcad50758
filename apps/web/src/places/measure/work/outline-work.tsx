import type { ScaleAnswer } from "@samescale/picture/planimetry";
import type { FrameAtMeasure, OutlineSaved } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { CasedLine } from "../../../viewer/cased.tsx";
import type { Place } from "../../../viewer/stage.ts";
import { type Look, PictureViewer } from "../../../viewer/viewer.tsx";
import { words } from "../../../words/index.ts";
import { timeSaid } from "../figures/said.ts";
import css from "../measure.module.css";
import { Clicks, circle, DraftShown, DrawnRegions } from "../outline/drawn-regions.tsx";
import { KeptBefore } from "../outline/kept-before.tsx";
import type { Surface } from "../outline/part-said.tsx";
import { useOutliner } from "../outline/use-outliner.ts";
import { useWork } from "../outline/use-work.ts";
import { Graduations } from "../reading/graduations.tsx";
import { PointsList, PointsRow } from "../tools/points-list.tsx";
import { BrushSize, ToolRow } from "../tools/tool-row.tsx";
import { enter, TOOLS, type ToolName, toolKeys } from "../tools/tools.ts";
import { type Pair, pairCollecting } from "../tools/two-points/collecting.ts";
import { useTool } from "../tools/use-tool.ts";
import { titleOf } from "./frame.tsx";
import { maySetOutlines } from "./may-measure.ts";
import { ScaleSection } from "./scale-section.tsx";
import { SoFar } from "./so-far.tsx";
import { useUndoKeys } from "./use-undo-keys.ts";

const w = words.measure;
/** Of the picture's width: about as wide as a fingertip beside a usual wound. */
const BRUSH_SHARE = 0.01;
const LEAST_BRUSH_PX = 2;
const MOST_BRUSH_PX = 400;

interface OutlineWorkProps {
  readonly at: FrameAtMeasure;
  /** Nothing of earlier outlines is shown. */
  readonly isBlind: boolean;
  /** @param saved null: left without keeping */
  readonly onEnd: (saved: OutlineSaved | null) => void;
}

/** An outline in the making: tools above, figures and budget at the right while it changes. */
export function OutlineWork({ at, isBlind, onEnd }: OutlineWorkProps) {
  const me = useMe();
  const { frame, reading } = at;
  const widthPx = reading?.scale.widthPx ?? 4000;
  const work = useWork({ frameId: frame.frameId, person: me.login ?? me.name, isBlind });
  const mayChange = maySetOutlines(me);

  const [tool, setTool] = useState<ToolName>("click");
  const [settings, setSettings] = useState({ inside: true, brushPx: Math.round(BRUSH_SHARE * widthPx) });
  const [pointing, setPointing] = useState<"outline" | "scale" | "limb">("outline");
  const [isLimb, setLimb] = useState(false);
  const [marked, setMarked] = useState<Pair | null>(null);
  const [hover, setHover] = useState<Place | null>(null);
  const [look, setLook] = useState<Look | null>(null);
  const [isScaleShown, setScaleShown] = useState(true);
  const [tried, setTried] = useState<ScaleAnswer | null>(null);

  const outlineTool = useTool(enter[tool], settings, work.add);
  const pair = useTool(pairCollecting, settings, (made) => {
    if (pointing !== "limb") return;
    setMarked(made);
    setPointing("outline");
    const girthMm = work.said.limb?.girthMm;
    if (girthMm) work.say({ limb: { middle: made, girthMm } });
  });
  const middle = work.said.limb?.middle ?? marked;
  const surface: Surface = isLimb || work.said.limb ? "limb" : work.said.isCurved ? "curved" : "flat";
  const setSurface = (next: Surface) => {
    setLimb(next === "limb");
    setPointing(next === "limb" && middle === null ? "limb" : "outline");
  };
  const inHand = pointing === "outline" ? outlineTool : pair;

  const scale = reading?.scale.found ? reading.scale : null;
  const { outlined, isWorking, isReady, problem, again } = useOutliner(frame.frameId, mayChange, {
    steps: work.steps,
    reading: scale,
    said: work.said,
    ownRepeats: at.ownRepeats,
  });

  const take = (name: ToolName) => {
    setTool(name);
    outlineTool.set(enter[name]());
    setPointing("outline");
  };
  const brush = (factor: number) =>
    setSettings((now) => ({
      ...now,
      brushPx: Math.round(Math.min(MOST_BRUSH_PX, Math.max(LEAST_BRUSH_PX, now.brushPx * factor))),
    }));
  const regions = isWorking ? undefined : outlined?.measured?.regions;
  const areaMm2 = regions?.reduce((sum, region) => sum + region.areaMm2.value, 0) ?? null;
  const save = useAct(
    async () => {
      const saved = await ask<OutlineSaved>("POST", `/measure/frames/${frame.frameId}/outline`, {
        steps: work.steps,
        readingSha256: reading!.sha256,
        said: work.said,
        areaMm2: areaMm2!,
        isBlind,
      });
      // Before anything is asked for anew: the answers may put another page in place of this one.
      work.clear();
      onEnd(saved);
    },
    { say: () => w.figures.saved },
  );
  const saveIt = () => save.mutate(undefined);
  useUndoKeys(work.undo, work.redo);
  useKeys(w.keys, [
    ...TOOLS.map((name) => ({ key: toolKeys[name], does: w.tools.tools[name], run: () => take(name) })),
    { key: "x", does: w.tools.flip, run: () => setSettings((now) => ({ ...now, inside: !now.inside })) },
    { key: "[", does: w.tools.smaller, run: () => brush(0.8) },
    { key: "]", does: w.tools.larger, run: () => brush(1.25) },
    { key: "f", does: w.tools.close, run: outlineTool.finish },
    { key: "k", does: w.figures.save, run: () => areaMm2 !== null && saveIt() },
    { key: "z", does: w.tools.undo, run: work.undo },
    { key: "y", does: w.tools.redo, run: work.redo },
    { key: "Escape", does: w.tools.drop, run: inHand.cancel },
  ]);

  const newest = at.outlines[0]?.sha256 ?? null;
  const [atBegin] = useState(newest);
  const points = outlineTool.state.withPoints ? outlineTool.state.draft.points : [];
  const shownScale = tried ?? reading?.scale ?? null;
  const brushSaid = scale
    ? w.tools.brushMm(((2 * settings.brushPx) / scale.scales[0]!.pxPerMm.value).toFixed(1))
    : w.tools.brushPx(2 * settings.brushPx);
  return (
    <PlaceFrame
      title={isBlind ? w.again.title : titleOf(at)}
      acts={
        <>
          <Button look="chief" isDisabled={areaMm2 === null || save.isPending} onPress={saveIt}>
            {save.isPending ? w.tools.working : w.figures.save}
          </Button>
          <Button onPress={() => onEnd(null)}>{w.tools.leave}</Button>
        </>
      }
      facts={
        <>
          <SoFar
            outlined={outlined}
            isWorking={isWorking}
            hasScale={scale !== null}
            work={work}
            part={{ surface, onSurface: setSurface, middle, said: work.said, onSaid: work.say }}
          />
          <ScaleSection
            at={at}
            mayChange={mayChange && !isBlind}
            isShown={isScaleShown}
            onShow={setScaleShown}
            onLook={setLook}
            points={pointing === "scale" ? pair.state.draft.points : []}
            isPointing={pointing === "scale"}
            onPointing={(isOn) => setPointing(isOn ? "scale" : "outline")}
            onTried={setTried}
          />
        </>
      }
    >
      <div className={css.work}>
        {isBlind && <p>{w.again.intro}</p>}
        {problem && <Problem report={problem} again={again} />}
        {work.before && <KeptBefore work={work.before} onGoOn={work.goOn} onThrowAway={work.clear} />}
        {work.otherTab && (
          <p className={css.note} role="alert">
            {w.otherTab(work.otherTab.steps, timeSaid(work.otherTab.at))}
          </p>
        )}
        {!isBlind && newest !== atBegin && (
          <p className={css.note} role="alert">
            {w.otherPerson}
          </p>
        )}
        <ToolRow
          tool={tool}
          onTool={take}
          settings={settings}
          onSettings={setSettings}
          canUndo={work.history.taken > 0}
          canRedo={work.history.taken < work.history.steps.length}
          onUndo={work.undo}
          onRedo={work.redo}
        />
        {points.length > 0 ? (
          <PointsRow count={points.length} onClose={outlineTool.finish} onDrop={outlineTool.cancel} />
        ) : (
          <div className={css.hint}>
            <p role="status">{isReady ? w.tools.hints[tool] : w.tools.loading}</p>
            {tool === "brush" && <BrushSize said={brushSaid} onBrush={brush} />}
          </div>
        )}
        <PictureViewer
          sha256={frame.sha256}
          label={w.picture(frame.name)}
          height="min(calc(100dvh - 14rem), 100vw)"
          look={look}
          onPoint={inHand.onPoint}
          onDrag={inHand.onDrag}
          onHover={tool === "brush" && pointing === "outline" ? setHover : undefined}
        >
          {isScaleShown && shownScale?.found && <Graduations scales={shownScale.scales} />}
          {outlined && <DrawnRegions regions={outlined.regions} />}
          <Clicks steps={work.steps} />
          {surface === "limb" && middle && <CasedLine d={`M${middle[0]}L${middle[1]}`} look="other" />}
          <DraftShown draft={inHand.state.draft} />
          {tool === "brush" && hover && <CasedLine d={circle(hover.x, hover.y, settings.brushPx)} isFine />}
        </PictureViewer>
        <PointsList
          points={points}
          onPoints={(changed) => outlineTool.set(outlineTool.state.withPoints!(changed))}
        />
      </div>
    </PlaceFrame>
  );
}
