import { SamescaleError } from "@samescale/errors";
import { cgatsTable } from "./cgats.ts";
import { CHART24 } from "./chart24.ts";
import { deltaE00, type Lab } from "./delta-e00.ts";
import { type Triple, WHITE_D50, xyzToLab } from "./space.ts";

/** Reference values of a department's own chart, in the chart's order from dark skin to black. */
export interface ChartValues {
  readonly labD50: readonly Lab[];
  /** What was assumed or is odd, for a person. */
  readonly remarks: readonly string[];
}

/** Mean distance from the published values of a chart measured in another order: about 35. Charts differ by about 1. */
const ANOTHER_ORDER = 10;
const ODD_PATCH = 6;

/**
 * Reads 24 reference values from CGATS text: LAB_L, LAB_A, LAB_B, or XYZ_X, XYZ_Y, XYZ_Z (0 to 100). Their order comes
 * from SAMPLE_ID 1 to 24, from places A1 to D6 (or A1 to F4), from the patches' names, or else is taken as it stands.
 * Illuminant D50 and the 2 degree observer are assumed, and said; a file that says otherwise is refused.
 *
 * @throws SamescaleError CHART_VALUES
 * @source ISO28178
 */
export function chartValuesFromText(text: string, file: string): ChartValues {
  const fault = (what: string) =>
    new SamescaleError(
      "CHART_VALUES",
      `The chart's values cannot be used: ${what}: ${file}`,
      "Give a CGATS text file with 24 rows of LAB_L LAB_A LAB_B (or XYZ_X XYZ_Y XYZ_Z), D50, 2 degree observer.",
    );
  const table = cgatsTable(text);
  if (typeof table === "string") throw fault(table);
  const { fields, rows } = table;
  const light = table.keywords.find(([, value]) => OTHER_LIGHT.test(value));
  if (light)
    throw fault(`${light[0]} says "${light[1].slice(0, 60)}"; only D50 and the 2 degree observer are known`);
  const column = (name: string) => fields.indexOf(name);
  const lab = ["LAB_L", "LAB_A", "LAB_B"].map(column);
  const xyz = ["XYZ_X", "XYZ_Y", "XYZ_Z"].map(column);
  const [columns, isLab] = lab.every((c) => c >= 0) ? [lab, true] : [xyz, false];
  if (columns.some((c) => c < 0))
    throw fault("the columns LAB_L, LAB_A, LAB_B (or XYZ_X, XYZ_Y, XYZ_Z) are not all there");
  if (rows.length !== CHART24.length) throw fault(`expected 24 rows, received ${rows.length}`);
  const values = rows.map((row, i): Lab => {
    const [a, b, c] = columns.map((at) => numberOf(row[at]!)) as [number, number, number];
    const which = `row ${i + 1}`;
    if (![a, b, c].every(Number.isFinite)) throw fault(`${which} holds something that is not a number`);
    const value = isLab ? ([a, b, c] as const) : xyzToLab([a / 100, b / 100, c / 100] as Triple, WHITE_D50);
    if (!(value[0] >= 0 && value[0] <= 110 && Math.hypot(value[1], value[2]) < 150)) {
      throw fault(`${which} holds a colour that no patch has`);
    }
    return value;
  });
  const ordered = inChartOrder(fields, rows);
  if (typeof ordered.order === "string") throw fault(ordered.order);
  const labD50 = ordered.order.map((at) => values[at]!);
  const off = labD50.map((value, i) => deltaE00(value, CHART24[i]!.labD50["after-2014"]));
  const mean = off.reduce((s, v) => s + v, 0) / off.length;
  if (mean > ANOTHER_ORDER) {
    throw fault(
      `they differ from the chart's published values by ΔE00 ${mean.toFixed(0)} on average: another chart, or another order`,
    );
  }
  const odd = CHART24.filter((_, i) => off[i]! > ODD_PATCH).map((patch) => patch.name);
  return {
    labD50,
    remarks: [
      "own values: illuminant D50 and the 2 degree observer are assumed",
      ...(ordered.asItStands
        ? ["own values: the rows are not numbered 1 to 24; their order was taken as it stands"]
        : []),
      ...(odd.length > 0 ? [`own values: far from the published ones: ${odd.join(", ")}`] : []),
    ],
  };
}

/** Illuminants other than D50 and the wider observer, as files name them. */
const OTHER_LIGHT = /\b(D55|D65|D75|F\d{1,2}|illuminant[, ]+[AC]|10 ?deg|10°|observer[, ]+10)\b/i;

const numberOf = (cell: string): number =>
  /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(cell) ? Number(cell) : Number.NaN;

interface Order {
  /** Row of patch 1 to 24; or what is wrong. */
  readonly order: readonly number[] | string;
  readonly asItStands: boolean;
}

function inChartOrder(fields: readonly string[], rows: readonly (readonly string[])[]): Order {
  const asItStands = { order: rows.map((_, i) => i), asItStands: true };
  for (const field of ["SAMPLE_ID", "SAMPLE_NAME", "SAMPLE_LOC"]) {
    const at = fields.indexOf(field);
    if (at < 0) continue;
    const cells = rows.map((row) => row[at]!.trim());
    const places = placesOf(cells);
    if (!places) continue;
    const order = CHART24.map((_, i) => places.indexOf(i));
    const missing = order.indexOf(-1);
    if (missing >= 0)
      return { order: `${field} does not name patch ${missing + 1}, or names one twice`, asItStands: false };
    return { order, asItStands: false };
  }
  return asItStands;
}

/** Index of each row's patch, 0 to 23; null where the cells do not say it. */
function placesOf(cells: readonly string[]): number[] | null {
  if (cells.every((cell) => /^\d{1,2}$/.test(cell))) return cells.map((cell) => Number(cell) - 1);
  const grid = cells.map((cell) => /^([A-F])0?([1-6])$/i.exec(cell));
  if (grid.every((g) => g !== null)) {
    const pairs = grid.map((g) => [g[1]!.toUpperCase().charCodeAt(0) - 65, Number(g[2]) - 1] as const);
    const byRow = pairs.every(([letter]) => letter < 4);
    return pairs.map(([letter, digit]) => (byRow ? 6 * letter + digit : 6 * digit + letter));
  }
  const plain = (name: string) => name.toLowerCase().replace(/[^a-z0-9]/g, "");
  const names = CHART24.map((patch) => plain(patch.name));
  const found = cells.map((cell) => names.indexOf(plain(cell)));
  return found.every((i) => i >= 0) ? found : null;
}
