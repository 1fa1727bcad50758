import { formatRatio } from "@samescale/optics";
import { useState } from "react";
import { Button } from "../../parts/button.tsx";
import { Figure } from "../../parts/number.tsx";
import { words } from "../../words/index.ts";
import css from "./rehearse.module.css";
import type { Shots } from "./use-shots.ts";

/** What the virtual camera really had: only when asked, one learns by looking. */
export function Truth({ shots: { judged } }: { readonly shots: Shots }) {
  const [isShown, show] = useState(false);
  const { truths, glare } = words.rehearse;
  return (
    <section className={css.group}>
      <h2>{words.rehearse.truth}</h2>
      {!isShown && <p className="quiet">{words.rehearse.truthHint}</p>}
      {isShown && judged && (
        <dl className={css.truth}>
          <Figure label={truths.ratio} value={formatRatio(judged.truth.magnification)} />
          <Figure label={truths.distance} value={(judged.truth.distanceMm / 10).toFixed(1)} unit="cm" />
          <Figure label={truths.lean} value={judged.truth.leanDeg.toFixed(1)} unit="°" />
          <Figure label={truths.blur} value={judged.truth.blurMm.toFixed(3)} unit={words.rehearse.mm} />
          <Figure label={truths.glare} value={judged.truth.hasGlare ? glare.yes : glare.no} />
        </dl>
      )}
      <div>
        <Button onPress={() => show(!isShown)}>
          {isShown ? words.rehearse.hideTruth : words.rehearse.showTruth}
          <span className="only-heard"> {words.rehearse.truth}</span>
        </Button>
      </div>
    </section>
  );
}
