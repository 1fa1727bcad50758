import type { ShownView } from "@samescale/server";
import { Figure } from "../../../parts/number.tsx";
import { words } from "../../../words/index.ts";
import css from "./plan.module.css";
import { ViewFigure } from "./view-figure.tsx";

const say = words.plan;

/** One view: what to set and where to stand first, everything else a touch away. */
export function PlannedView({
  planned,
  number,
  saidOnce,
}: {
  readonly planned: ShownView;
  readonly number: number;
  /** Warnings that the plan says above its views. */
  readonly saidOnce: readonly string[];
}) {
  const { view, figure, ratio, distance, isMeasured, fNumber, fieldMm, lens, depthOfFieldMm, minutes } =
    planned;
  const side = view.side === "left" || view.side === "right" ? `, ${view.side.toUpperCase()}` : "";
  return (
    <section className={css.view} aria-label={view.name}>
      <ViewFigure figure={figure} />
      <div className={css.viewBody}>
        <h2>
          <span className="quiet">{number}</span> {view.name}
        </h2>
        <p className="quiet">
          {view.part}, {view.aspect}
          {side} · {say.minutes(Math.ceil(minutes))}
        </p>
        <dl className={css.numbers}>
          <Figure label={say.ratio} value={ratio} />
          <Figure label={say.distance} value={distance} unit={isMeasured ? say.beforeLens : say.fromLens} />
          <Figure label={say.aperture} value={`f/${fNumber}`} />
          <Figure
            label={say.field}
            value={say.fieldMm(Math.round(fieldMm.width), Math.round(fieldMm.height))}
            unit="mm"
          />
          <Figure
            label={say.depth}
            value={
              Number.isFinite(depthOfFieldMm.behind)
                ? say.depthMm(mm(depthOfFieldMm.inFront), mm(depthOfFieldMm.behind))
                : mm(depthOfFieldMm.inFront)
            }
            unit={Number.isFinite(depthOfFieldMm.behind) ? "mm" : `mm, ${say.everything}`}
          />
        </dl>
        <p>
          {lens.name}. {planned.barrel}
        </p>
        {planned.repeats && (
          <p>
            {say.repeats(planned.repeats.frame.name, planned.repeats.frame.date ?? say.anUnknownDay)}:{" "}
            {planned.repeats.says}
          </p>
        )}
        {planned.warnings
          .filter((says) => !saidOnce.includes(says))
          .map((says) => (
            <p key={says} className={css.warning}>
              {says}
            </p>
          ))}
        <details>
          <summary>{say.more}</summary>
          <More planned={planned} />
        </details>
      </div>
    </section>
  );
}

function More({ planned }: { readonly planned: ShownView }) {
  const { view, light, flash, noFlash, effectiveFNumber, spaceMm, reasons, carried, cautions, repeats } =
    planned;
  const scale =
    view.scale === "none" ? say.noScale : `${say.scales[view.scale]}, ${view.scaleWhere}, ${view.scalePlane}`;
  const rows: readonly (readonly [string, readonly string[]])[] = [
    [say.camera, [planned.camera]],
    [
      say.patient,
      [view.position, ...(view.mirror === "none" ? [] : [say.mirror(view.mirror)]), view.instructions],
    ],
    [say.scale, [scale]],
    [say.light, [`${light.name}: ${light.placement}`, flash?.says ?? noFlash ?? ""]],
    [say.backdrop, [view.backdrop]],
    [say.aperture, [say.effective(effectiveFNumber.toFixed(effectiveFNumber < 10 ? 1 : 0))]],
    [say.room2, [say.needs((spaceMm / 1000).toFixed(2))]],
    [say.why, [...reasons, carried ?? "", ...(repeats?.faults ?? []), ...(repeats?.framing ?? [])]],
    [say.mind, cautions],
  ];
  return (
    <dl className={css.more}>
      {rows
        .map(([name, texts]) => [name, texts.filter((text) => text !== "")] as const)
        .filter(([, texts]) => texts.length > 0)
        .map(([name, texts]) => (
          <div key={name}>
            <dt>{name}</dt>
            {texts.map((text) => (
              <dd key={text}>{text}</dd>
            ))}
          </div>
        ))}
    </dl>
  );
}

const mm = (value: number): string => (value >= 20 ? String(Math.round(value)) : value.toFixed(1));
