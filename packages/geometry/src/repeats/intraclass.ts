import jstat from "jstat";
import { meanOf } from "./spread.ts";

/** Share of the spread of single measurements that is the things' own, with its 95 % interval. */
export interface Intraclass {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

export interface IntraclassOfTable {
  readonly things: number;
  readonly persons: number;
  /** Persons drawn from many, their habits counted as error: ICC(2,1). */
  readonly agreement: Intraclass;
  /** These persons only, their habits left out: ICC(3,1). */
  readonly consistency: Intraclass;
}

const UPPER = 0.975;

/**
 * Intraclass correlations of a full table: every person measured every thing once.
 * @param table a row per thing, a column per person
 * @source ShroutFleiss1979 (cases 2 and 3), McGrawWong1996 (intervals, table 7)
 * @returns null for fewer than two things or persons, rows of different length, or values without any spread
 */
export function intraclassOf(table: readonly (readonly number[])[]): IntraclassOfTable | null {
  const n = table.length;
  const k = table[0]?.length ?? 0;
  if (n < 2 || k < 2 || table.some((row) => row.length !== k)) return null;
  const grand = meanOf(table.flat());
  const rows = table.map(meanOf);
  const columns = table[0]!.map((_, j) => meanOf(table.map((row) => row[j]!)));
  const msr = (k * squares(rows, grand)) / (n - 1);
  const msc = (n * squares(columns, grand)) / (k - 1);
  const left = table.flatMap((row, i) => row.map((v, j) => v - rows[i]! - columns[j]! + grand));
  const mse = squares(left, 0) / ((n - 1) * (k - 1));
  if (!(msr + mse + msc > 0)) return null;
  return {
    things: n,
    persons: k,
    agreement: agreement(n, k, msr, msc, mse),
    consistency: consistency(n, k, msr, mse),
  };
}

const squares = (values: readonly number[], centre: number) =>
  values.reduce((sum, v) => sum + (v - centre) ** 2, 0);

function agreement(n: number, k: number, msr: number, msc: number, mse: number): Intraclass {
  const value = (msr - mse) / (msr + (k - 1) * mse + (k * (msc - mse)) / n);
  if (value >= 1) return { value: 1, lower: 1, upper: 1 };
  const a = (k * value) / (n * (1 - value));
  const b = 1 + (k * value * (n - 1)) / (n * (1 - value));
  const degrees =
    (a * msc + b * mse) ** 2 / ((a * msc) ** 2 / (k - 1) + (b * mse) ** 2 / ((n - 1) * (k - 1)));
  const low = jstat.jStat.centralF.inv(UPPER, n - 1, degrees);
  const high = jstat.jStat.centralF.inv(UPPER, degrees, n - 1);
  const others = k * msc + (k * n - k - n) * mse;
  return {
    value,
    lower: (n * (msr - low * mse)) / (low * others + n * msr),
    upper: (n * (high * msr - mse)) / (others + n * high * msr),
  };
}

function consistency(n: number, k: number, msr: number, mse: number): Intraclass {
  if (mse === 0) return { value: 1, lower: 1, upper: 1 };
  const of = (f: number) => (f - 1) / (f + k - 1);
  const f = msr / mse;
  const degrees = (n - 1) * (k - 1);
  return {
    value: of(f),
    lower: of(f / jstat.jStat.centralF.inv(UPPER, n - 1, degrees)),
    upper: of(f * jstat.jStat.centralF.inv(UPPER, degrees, n - 1)),
  };
}
