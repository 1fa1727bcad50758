import type { ProposedMask } from "@samescale/server";
import { type RefObject, useEffect } from "react";
import { CasedLine, CasedPoint, ringPath } from "../../../viewer/cased.tsx";
import { PictureViewer, useScreenScale } from "../../../viewer/viewer.tsx";
import { words } from "../../../words/index.ts";
import css from "./mask.module.css";
import type { Drawing } from "./use-drawing.ts";
import type { MaskWork } from "./use-mask.ts";

const { mask: say } = words.release;

/** The picture: what is covered is black as it will be, what is proposed or chosen is only outlined, so that it can be judged. */
export function Canvas({
  sha256,
  name,
  proposals,
  work,
  drawing,
  isChanging,
  scale,
}: {
  readonly sha256: string;
  readonly name: string;
  readonly proposals: ProposedMask["proposals"];
  readonly work: MaskWork;
  readonly drawing: Drawing;
  readonly isChanging: boolean;
  readonly scale: RefObject<number>;
}) {
  const { sketch, selected } = drawing;
  return (
    <PictureViewer
      sha256={sha256}
      label={say.title(name)}
      height="min(70dvh, 46rem)"
      onPoint={drawing.onPoint}
      onDrag={drawing.onDrag}
    >
      <TellScale to={scale} />
      {proposals.areas.map(({ polygon }, i) => {
        const said = work.proposed[i];
        const d = ringPath(polygon);
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: the proposals of one look never change.
          <g key={i}>
            {said === "cover" && <path className={css.covered} d={d} />}
            <CasedLine d={d} look={said === null ? "guess" : "other"} />
            <AreaNumber number={i + 1} at={polygon[0]!} />
          </g>
        );
      })}
      {work.areas.map(({ id, polygon }) => {
        const d = ringPath(polygon);
        const isChosen = id === selected;
        return (
          <g key={id}>
            {!(isChosen && isChanging) && <path className={css.covered} d={d} />}
            <CasedLine d={d} look={isChosen ? "line" : "other"} />
            {isChosen &&
              isChanging &&
              polygon.map(([x, y]) => <CasedPoint key={`${x} ${y}`} x={x} y={y} look="chosen" />)}
          </g>
        );
      })}
      {sketch.length > 0 && <CasedLine d={ringPath(sketch)} look="guess" />}
      {sketch.length < 40 && sketch.map(([x, y]) => <CasedPoint key={`${x} ${y}`} x={x} y={y} />)}
    </PictureViewer>
  );
}

/** How large the picture is on the screen, for how near a pointer has to come. */
function TellScale({ to }: { readonly to: RefObject<number> }) {
  const now = useScreenScale();
  useEffect(() => {
    to.current = now;
  }, [to, now]);
  return null;
}

/** Which one of the list at the right it is, as large at every zoom. */
function AreaNumber({
  number,
  at: [x, y],
}: {
  readonly number: number;
  readonly at: readonly [number, number];
}) {
  const scale = useScreenScale();
  return (
    <text className={css.number} x={x} y={y - 5 / scale} fontSize={15 / scale} strokeWidth={4 / scale}>
      {number}
    </text>
  );
}
