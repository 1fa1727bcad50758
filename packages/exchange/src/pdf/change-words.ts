import { type AreaChange, areaChange, type Measured } from "@samescale/geometry";

/** A visit whose area and perimeter are known. */
export interface MeasuredVisit {
  readonly dateIso: string;
  readonly areaMm2: Measured;
  readonly perimeterMm: Measured;
}

/** What changed from one visit to a later one. */
export interface VisitChange {
  readonly from: string;
  readonly to: string;
  readonly change: AreaChange;
}

const DAY_MS = 86_400_000;

/** Every later measured visit against the first measured one. */
export function changesSinceFirst(visits: readonly MeasuredVisit[]): VisitChange[] {
  const [first, ...later] = visits;
  return first ? later.map((visit) => changeBetween(first, visit)) : [];
}

export function changeBetween(earlier: MeasuredVisit, later: MeasuredVisit): VisitChange {
  const size = (visit: MeasuredVisit) => ({
    day: Date.parse(visit.dateIso) / DAY_MS,
    area: visit.areaMm2,
    perimeter: visit.perimeterMm,
  });
  return { from: earlier.dateIso, to: later.dateIso, change: areaChange(size(earlier), size(later)) };
}

/** "-43 ± 4", with as many decimals as the interval bears. */
export function signed({ value, u95 }: Measured): string {
  const decimals = u95 >= 3 ? 0 : u95 >= 0.3 ? 1 : 2;
  const rounded = Number(value.toFixed(decimals));
  const sign = rounded > 0 ? "+" : rounded < 0 ? "−" : "";
  return `${sign}${Math.abs(value).toFixed(decimals)} ± ${u95.toFixed(decimals)}`;
}

/** A change in a sentence, without a verdict on what it means. */
export function changeSentence({ from, to, change }: VisitChange): string {
  const { areaMm2, percent, isBeyondUncertainty, edgeMm } = change;
  const amount = percent ? `${signed(percent)} %` : `${signed(areaMm2)} mm²`;
  if (!isBeyondUncertainty) {
    return `From ${from} to ${to} the measured area differs by ${amount}: within the uncertainty of measuring, so neither larger nor smaller can be said.`;
  }
  const way = areaMm2.value < 0 ? "smaller" : "larger";
  const edge =
    edgeMm && Math.abs(edgeMm.value) > edgeMm.u95
      ? `; on average the edge moved ${edgeMm.value > 0 ? "inwards" : "outwards"} by ${Math.abs(edgeMm.value).toFixed(1)} ± ${edgeMm.u95.toFixed(1)} mm`
      : "";
  return `From ${from} to ${to} the area became ${way} (${amount}), by more than the uncertainty of measuring${edge}.`;
}
