import css from "./parts.module.css";

/** A number larger than its label, its unit always beside it, its interval with it. */
export function Figure({
  label,
  value,
  unit,
  plusMinus,
}: {
  readonly label: string;
  readonly value: string;
  readonly unit?: string;
  readonly plusMinus?: string;
}) {
  return (
    <div className={css.figure}>
      <dt>{label}</dt>
      <dd>
        <span className="number">{value}</span>
        {plusMinus && <span> ± {plusMinus}</span>}
        {unit && <span className={css.unit}> {unit}</span>}
      </dd>
    </div>
  );
}
