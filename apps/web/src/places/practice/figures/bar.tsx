import css from "./figures.module.css";

/** A number as a length, beside the number itself. @param most what the whole width stands for */
export function Bar({ value, most }: { readonly value: number; readonly most: number }) {
  return (
    <svg className={css.bar} viewBox="0 0 100 14" preserveAspectRatio="none" aria-hidden="true">
      <rect className={css.track} y="6" width="100" height="2" />
      <rect className={css.asked} width={most === 0 ? 0 : (100 * value) / most} height="14" />
    </svg>
  );
}

/** From quartile to quartile, the median as a line. */
export function SpanBar(props: {
  readonly from: number;
  readonly middle: number;
  readonly to: number;
  readonly most: number;
}) {
  const at = (value: number) => (props.most === 0 ? 0 : (98 * value) / props.most + 1);
  return (
    <svg className={css.bar} viewBox="0 0 100 14" preserveAspectRatio="none" aria-hidden="true">
      <rect className={css.track} y="6" width="100" height="2" />
      <rect
        className={css.box}
        x={at(props.from)}
        y="2"
        width={Math.max(0.5, at(props.to) - at(props.from))}
        height="10"
      />
      <line className={css.middle} x1={at(props.middle)} x2={at(props.middle)} y1="1" y2="13" />
    </svg>
  );
}
