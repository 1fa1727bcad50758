import type { ScaleAnswer } from "@samescale/picture/planimetry";
import type { FrameAtMeasure } from "@samescale/server";
import { useState } from "react";
import { Button } from "../../../parts/button.tsx";
import { Link } from "../../../parts/link.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { type Look, PictureViewer } from "../../../viewer/viewer.tsx";
import { words } from "../../../words/index.ts";
import { FiguresShown } from "../figures/figures.tsx";
import { momentSaid } from "../figures/said.ts";
import css from "../measure.module.css";
import { DraftShown, DrawnRegions, MeasuredLines } from "../outline/drawn-regions.tsx";
import { Graduations } from "../reading/graduations.tsx";
import { pairCollecting } from "../tools/two-points/collecting.ts";
import { useTool } from "../tools/use-tool.ts";
import { titleOf } from "./frame.tsx";
import { maySetOutlines } from "./may-measure.ts";
import { ScaleSection } from "./scale-section.tsx";

const { figures: w, tools, picture, back } = words.measure;
const ANY = { inside: true, brushPx: 1 };

/** What is on record of a frame: the reading, the newest outline, its figures. */
export function OnRecord({ at, onAnew }: { readonly at: FrameAtMeasure; readonly onAnew: () => void }) {
  const mayChange = maySetOutlines(useMe());
  const [isShown, setShown] = useState(true);
  const [isPointing, setPointing] = useState(false);
  const [tried, setTried] = useState<ScaleAnswer | null>(null);
  const [look, setLook] = useState<Look | null>(null);
  const pair = useTool(pairCollecting, ANY, () => {});
  const newest = at.outlines[0] ?? null;
  const scale = tried ?? at.reading?.scale ?? null;
  useKeys(
    words.measure.keys,
    mayChange ? [{ key: "o", does: newest ? tools.beginAnew : tools.begin, run: onAnew }] : [],
  );
  return (
    <PlaceFrame
      title={titleOf(at)}
      acts={
        <>
          {mayChange && (
            <Button look="chief" onPress={onAnew}>
              {newest ? tools.beginAnew : tools.begin}
            </Button>
          )}
          <Link to="/measure" look="plain">
            {back}
          </Link>
        </>
      }
      facts={
        <>
          {newest && (
            <section className={css.stack} aria-labelledby="figures-title">
              <h2 id="figures-title">{w.title}</h2>
              <p className="quiet">
                {w.by(newest.by ?? "", momentSaid(newest.madeAt))}
                {newest.isBlindRepeat && `, ${w.unseen}`}
              </p>
              {newest.measurement ? (
                <FiguresShown
                  of={newest.measurement}
                  isLaidOut={"headToToe" in (newest.measurement.regions[0] ?? {})}
                />
              ) : (
                <p>{w.notMeasured}</p>
              )}
              <p className="quiet">{w.noFinding}</p>
            </section>
          )}
          <ScaleSection
            at={at}
            mayChange={mayChange}
            isShown={isShown}
            onShow={setShown}
            onLook={setLook}
            points={pair.state.draft.points}
            isPointing={isPointing}
            onPointing={setPointing}
            onTried={setTried}
          />
        </>
      }
    >
      <PictureViewer
        sha256={at.frame.sha256}
        label={picture(at.frame.name)}
        look={look}
        onPoint={isPointing ? pair.onPoint : undefined}
      >
        {isShown && scale?.found && <Graduations scales={scale.scales} />}
        {newest && <DrawnRegions regions={newest.regions} />}
        {newest?.measurement && <MeasuredLines regions={newest.measurement.regions} />}
        {isPointing && <DraftShown draft={pair.state.draft} />}
      </PictureViewer>
    </PlaceFrame>
  );
}
