import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import { FiguresShown } from "../figures/figures.tsx";
import css from "../measure.module.css";
import type { Outlined } from "../outline/messages.ts";
import { PartSaidForm, type Surface } from "../outline/part-said.tsx";
import { StepsList } from "../outline/steps-list.tsx";
import type { Work } from "../outline/use-work.ts";
import type { Pair } from "../tools/two-points/collecting.ts";

const { figures: w, tools } = words.measure;

interface SoFarProps {
  readonly outlined: Outlined | null;
  readonly isWorking: boolean;
  readonly hasScale: boolean;
  readonly work: Work;
  readonly part: {
    readonly surface: Surface;
    readonly onSurface: (surface: Surface) => void;
    readonly middle: Pair | null;
    readonly said: Work["said"];
    readonly onSaid: Work["say"];
  };
}

/** What the outline comes to as it is now. */
export function SoFar({ outlined, isWorking, hasScale, work, part }: SoFarProps) {
  const measured = outlined?.measured ?? null;
  const regions = outlined?.regions ?? [];
  const holes = regions.reduce((sum, region) => sum + region.holes.length, 0);
  return (
    <section className={css.stack} aria-labelledby="so-far-title">
      <h2 id="so-far-title">{w.live}</h2>
      <p role="status" className="quiet">
        {isWorking ? tools.working : regions.length > 0 ? tools.outlined(regions.length, holes) : null}
      </p>
      {outlined?.reason && <p className={css.warning}>{outlined.reason}</p>}
      {outlined?.warnings.map((warning) => (
        <p key={warning} className={css.warning}>
          {warning}
        </p>
      ))}
      {outlined?.notMeasured && <p className={css.warning}>{outlined.notMeasured}</p>}
      {regions.some(({ uncertain = [] }) => uncertain.length > 0) && <p>{tools.uncertain}</p>}
      {!hasScale && <p>{tools.noReadingYet}</p>}
      {measured && <FiguresShown of={measured} isLaidOut={work.said.limb !== undefined} />}
      <PartSaidForm {...part} />
      {work.history.taken > 0 && (
        <>
          <StepsList history={work.history} />
          <Button look="bare" onPress={work.takeAllBack}>
            {tools.anew}
          </Button>
        </>
      )}
    </section>
  );
}
