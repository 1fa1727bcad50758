import type { SeriesVisitShown, WindowShown } from "@samescale/server";
import { Button } from "../../parts/button.tsx";
import { words } from "../../words/index.ts";
import { interval } from "./interval.ts";
import { Picture, ScaleBar } from "./picture.tsx";
import css from "./series.module.css";
import { pictureUrl, type SeriesWindow, SMALL_PX } from "./window-url.ts";

const { series: say } = words;

/** Every visit in order, the same window at the same scale; one without a picture keeps its place. */
export function Strip({
  visits,
  window,
  size,
  comparedAt,
  onChoose,
}: {
  readonly visits: readonly SeriesVisitShown[];
  readonly window: SeriesWindow;
  readonly size: WindowShown;
  readonly comparedAt: string | null;
  readonly onChoose: (frameId: string) => void;
}) {
  const aspect = size.widthPx / size.heightPx;
  return (
    <ol className={css.strip}>
      {visits.map((visit) => (
        <li key={`${visit.visitId} ${visit.date}`}>
          {visit.frame ? (
            <>
              <Picture
                src={pictureUrl(window, visit.frame.frameId, SMALL_PX, comparedAt)}
                alt={say.alt(visit.date ?? say.noDate, visit.isBaseline ? say.baseline : say.followUp)}
                aspect={aspect}
              />
              <ScaleBar {...size} />
            </>
          ) : (
            <div className={css.gap} style={{ aspectRatio: aspect }} />
          )}
          <VisitCaption visit={visit} />
          {visit.frame && !visit.isBaseline && (
            <Button
              aria-label={say.choosePicture(visit.date ?? say.noDate)}
              onPress={() => onChoose(visit.frame?.frameId ?? "")}
            >
              {say.way.side}
            </Button>
          )}
        </li>
      ))}
    </ol>
  );
}

/** Which visit, what was measured, and what has to be known of the picture. */
function VisitCaption({ visit }: { readonly visit: SeriesVisitShown }) {
  const { date, isBaseline, noPicture, areaMm2 } = visit;
  return (
    <div className={css.caption}>
      <p>
        <strong>{date ?? say.noDate}</strong> {isBaseline && <span className="quiet">{say.baseline}</span>}
      </p>
      {noPicture && <p className="quiet">{noPicture}</p>}
      {areaMm2 && (
        <p>
          <span className="number">{interval(areaMm2).value}</span> ± {interval(areaMm2).u95}{" "}
          <span className="quiet">{say.chart.mm2}</span>
        </p>
      )}
      <Notes visit={visit} />
    </div>
  );
}

export function Notes({ visit }: { readonly visit: SeriesVisitShown }) {
  const { alignment, scaleHeightMm, byPoints } = visit;
  const notes = [
    ...(alignment?.aligned === false ? [say.notAligned(alignment.reason), say.shownByScale] : []),
    ...(alignment?.aligned && byPoints ? [say.alignedByPoints] : []),
    ...(alignment?.aligned ? alignment.warnings.map((text) => `${text}.`) : []),
    ...(alignment?.aligned && alignment.framing.length > 0 ? [say.framed(alignment.framing.join(", "))] : []),
    ...(scaleHeightMm
      ? [
          say.chart.corrected(
            Math.abs(scaleHeightMm.value).toFixed(0),
            scaleHeightMm.value > 0 ? say.chart.above : say.chart.below,
          ),
        ]
      : []),
  ];
  if (notes.length === 0) return null;
  return (
    <ul className={css.notes}>
      {notes.map((note) => (
        <li key={note}>{note}</li>
      ))}
    </ul>
  );
}
