import type { SeriesVisitShown, WindowShown } from "@samescale/server";
import { type PointerEvent, useEffect, useRef, useState, useSyncExternalStore } from "react";
import { Button } from "../../parts/button.tsx";
import { Choices } from "../../parts/choice.tsx";
import { Slider } from "../../parts/slider.tsx";
import { useKeys } from "../../shell/keys.ts";
import { words } from "../../words/index.ts";
import { Legend, Picture, ScaleBar } from "./picture.tsx";
import css from "./series.module.css";
import { LARGE_PX, pictureUrl, type SeriesWindow } from "./window-url.ts";

const { series: say } = words;

export interface PairProps {
  readonly window: SeriesWindow;
  readonly size: WindowShown;
  readonly comparedAt: string | null;
  readonly baseline: SeriesVisitShown;
  readonly followup: SeriesVisitShown;
}

const dateOf = ({ date }: SeriesVisitShown): string => date ?? say.noDate;
const urlOf = ({ window, comparedAt }: PairProps, visit: SeriesVisitShown): string =>
  pictureUrl(window, visit.frame?.frameId ?? "", LARGE_PX, comparedAt);
const altOf = (visit: SeriesVisitShown): string =>
  say.alt(dateOf(visit), visit.isBaseline ? say.baseline : say.followUp);

export function SideBySide(props: PairProps) {
  const { baseline, followup, size } = props;
  return (
    <div className={css.pair}>
      {[baseline, followup].map((visit) => (
        <figure key={visit.frame?.frameId}>
          <Picture src={urlOf(props, visit)} alt={altOf(visit)} aspect={size.widthPx / size.heightPx} />
          <ScaleBar {...size} />
          <figcaption>
            <strong>{dateOf(visit)}</strong> {visit.isBaseline ? say.baseline : say.followUp}
          </figcaption>
        </figure>
      ))}
    </div>
  );
}

/**
 * How long each stays. A change a second at most: two in a whole turn, far below three flashes a second.
 * @source Wcag22 (2.3.1)
 */
const STAYS_S = ["1", "2", "3"] as const;

const still = matchMedia("(prefers-reduced-motion: reduce)");
const useIsStill = (): boolean =>
  useSyncExternalStore(
    (watch) => {
      still.addEventListener("change", watch);
      return () => still.removeEventListener("change", watch);
    },
    () => still.matches,
  );

/** Both in turn: the eye catches what changed. Stops at once; by hand where the system asks for no motion. */
export function Blink(props: PairProps) {
  const { baseline, followup, size } = props;
  const isStill = useIsStill();
  const [isFollowup, setFollowup] = useState(false);
  const [isGoing, setGoing] = useState(true);
  const [stays, setStays] = useState<(typeof STAYS_S)[number]>("2");
  const moves = isGoing && !isStill;
  useEffect(() => {
    if (!moves) return;
    const turn = setInterval(() => setFollowup((was) => !was), 1000 * Number(stays));
    return () => clearInterval(turn);
  }, [moves, stays]);
  const change = () => (moves ? setGoing(false) : setFollowup((was) => !was));
  useKeys(say.keys.title, [{ key: " ", does: say.keys.other, run: change }]);
  const shown = isFollowup ? followup : baseline;
  return (
    <div className={css.single}>
      <div className={css.stack}>
        {[baseline, followup].map((visit) => (
          <div key={visit.frame?.frameId} hidden={visit !== shown}>
            <Picture src={urlOf(props, visit)} alt={altOf(visit)} aspect={size.widthPx / size.heightPx} />
          </div>
        ))}
      </div>
      <ScaleBar {...size} />
      <div className={css.controls}>
        <p>
          <strong>
            {say.blink.now(`${dateOf(shown)}, ${shown.isBaseline ? say.baseline : say.followUp}`)}
          </strong>
        </p>
        {!isStill && (
          <Button look="chief" onPress={() => setGoing(!isGoing)}>
            {isGoing ? say.blink.stop : say.blink.go}
          </Button>
        )}
        <Button
          onPress={() => {
            setGoing(false);
            setFollowup(!isFollowup);
          }}
        >
          {say.blink.other}
        </Button>
        {!isStill && (
          <Choices
            label={say.blink.rate}
            value={stays}
            options={STAYS_S.map((value) => ({ value, label: say.blink.seconds(Number(value)) }))}
            onChange={setStays}
          />
        )}
      </div>
      <p className="quiet">{isStill ? say.blink.still : say.blink.caution}</p>
    </div>
  );
}

/** The baseline left of an edge that is moved by pointer, slider or keys, the follow-up right of it. */
export function Split(props: PairProps) {
  const { baseline, followup, size } = props;
  const [share, setShare] = useState(50);
  const box = useRef<HTMLDivElement>(null);
  const drag = ({ clientX, buttons, currentTarget, pointerId, type }: PointerEvent) => {
    if (type === "pointerdown") currentTarget.setPointerCapture(pointerId);
    if (buttons === 0 || !box.current) return;
    const { left, width } = box.current.getBoundingClientRect();
    setShare(Math.round(Math.max(0, Math.min(100, (100 * (clientX - left)) / width))));
  };
  return (
    <div className={css.single}>
      <div ref={box} className={css.split} onPointerDown={drag} onPointerMove={drag}>
        <Picture src={urlOf(props, followup)} alt={altOf(followup)} aspect={size.widthPx / size.heightPx} />
        <div className={css.over} style={{ clipPath: `inset(0 ${100 - share}% 0 0)` }}>
          <Picture src={urlOf(props, baseline)} alt={altOf(baseline)} aspect={size.widthPx / size.heightPx} />
        </div>
        <div className={css.edge} style={{ left: `${share}%` }} />
      </div>
      <Slider
        label={say.split.edge}
        value={share}
        range={{ min: 0, max: 100, step: 1 }}
        says={(value) => say.split.share(value)}
        onChange={setShare}
      />
      <ScaleBar {...size} />
      <p className={css.between}>
        <strong>{say.split.left(dateOf(baseline))}</strong>
        <strong>{say.split.right(dateOf(followup))}</strong>
      </p>
      <p className="quiet">{say.split.help}</p>
    </div>
  );
}

/** What became lighter or darker; grey means no change. */
export function Difference(props: PairProps) {
  const { window, followup, size, comparedAt } = props;
  const src = pictureUrl(window, followup.frame?.frameId ?? "", 800, comparedAt, "difference");
  return (
    <div className={css.single}>
      <Picture
        src={src}
        alt={say.alt(dateOf(followup), say.way.difference.toLowerCase())}
        aspect={size.widthPx / size.heightPx}
      />
      <ScaleBar {...size} />
      <Legend>
        {(["darker", "same", "lighter", "outside"] as const).map((tone) => (
          <span key={tone}>
            <i className={css[tone]} aria-hidden="true" />
            {say.difference[tone]}
          </span>
        ))}
      </Legend>
      <p>{say.difference.help}</p>
    </div>
  );
}
