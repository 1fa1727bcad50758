import type { FrameAtMeasure, OutlineOnRecord, OutlineSaved } from "@samescale/server";
import { Button } from "../../../parts/button.tsx";
import { Link } from "../../../parts/link.tsx";
import { Figure } from "../../../parts/number.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { PictureViewer } from "../../../viewer/viewer.tsx";
import { words } from "../../../words/index.ts";
import { momentSaid, said } from "../figures/said.ts";
import css from "../measure.module.css";
import { DrawnRegions } from "../outline/drawn-regions.tsx";
import { titleOf } from "../work/frame.tsx";

const w = words.measure.again;

/** Both outlines, now that the second is done, and what they differ by. */
export function Compared({
  at,
  saved: { now, before },
  onNext,
}: {
  readonly at: FrameAtMeasure;
  readonly saved: OutlineSaved;
  readonly onNext: () => void;
}) {
  const earlier = before.find(({ measurement }) => measurement !== null) ?? null;
  return (
    <PlaceFrame
      title={titleOf(at)}
      acts={
        <>
          <Button look="chief" onPress={onNext}>
            {w.another}
          </Button>
          <Link to="/measure" look="plain">
            {w.done}
          </Link>
        </>
      }
      facts={
        <section className={css.stack} aria-labelledby="compared-title">
          <h2 id="compared-title">{w.title}</h2>
          <dl className={css.figureList}>
            <AreaOf label={w.now} of={now} />
            {earlier && <AreaOf label={w.before(earlier.by, momentSaid(earlier.madeAt))} of={earlier} />}
          </dl>
          {earlier && <Difference now={now} earlier={earlier} />}
          <p className="quiet">{w.lines}</p>
        </section>
      }
    >
      <PictureViewer sha256={at.frame.sha256} label={words.measure.picture(at.frame.name)}>
        {earlier && <DrawnRegions regions={earlier.regions} look="other" />}
        <DrawnRegions regions={now.regions} />
      </PictureViewer>
    </PlaceFrame>
  );
}

const sumOf = ({ measurement }: OutlineOnRecord, figure: "areaMm2" | "perimeterMm"): number =>
  measurement?.regions.reduce((sum, region) => sum + region[figure].value, 0) ?? 0;

function AreaOf({ label, of }: { readonly label: string; readonly of: OutlineOnRecord }) {
  const regions = of.measurement?.regions ?? [];
  const together = of.measurement?.total?.areaMm2 ?? regions[0]?.areaMm2;
  return together ? <Figure label={label} {...said(together)} unit="mm²" /> : null;
}

/** In per cent of the area, and as the width of a band along the edge, which carries over to other sizes. */
function Difference({ now, earlier }: { readonly now: OutlineOnRecord; readonly earlier: OutlineOnRecord }) {
  const difference = sumOf(now, "areaMm2") - sumOf(earlier, "areaMm2");
  const percent = (100 * Math.abs(difference)) / sumOf(earlier, "areaMm2");
  const edgeMm = (2 * Math.abs(difference)) / (sumOf(now, "perimeterMm") + sumOf(earlier, "perimeterMm"));
  return (
    <p>
      {difference >= 0 ? w.larger : w.smaller}{" "}
      <strong className="number">{w.difference(percent.toFixed(1))}</strong>, {w.edge(edgeMm.toFixed(2))}.
    </p>
  );
}
