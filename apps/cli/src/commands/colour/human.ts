import type {
  ChartFound,
  ColourAnswer,
  ColourMatched,
  CorrectedPicture,
  DeltaE,
  GreyCardAnswer,
  GreyCardUsed,
  MatchAnswer,
} from "@samescale/picture";
import { printable } from "../../frame/printable.ts";

/** What a colour command says to a person. */
export function humanColour(answer: ColourAnswer | GreyCardAnswer | MatchAnswer): string {
  const file = printable(answer.file);
  if (!answer.found) return `${file}: ${printable(answer.reason)}; nothing was corrected`;
  const said = linesOf(answer);
  return [`${file}: ${said[0]}`, ...said.slice(1).map((line) => `  ${line}`)].join("\n");
}

function linesOf(answer: ChartFound | GreyCardUsed | ColourMatched): string[] {
  const lines =
    answer.by === "chart"
      ? chartLines(answer)
      : answer.by === "grey-card"
        ? greyLines(answer)
        : matchLines(answer);
  return [
    ...lines,
    ...written(answer.corrected),
    ...answer.warnings.map((warning) => `! ${printable(warning)}`),
  ];
}

function chartLines({ patches, deltaE00, judgements }: ChartFound): string[] {
  const used = patches.filter((patch) => patch.leftOut === null).length;
  return [
    `chart found, ${used} of 24 patches used`,
    ...differences(deltaE00, "patches"),
    ...judgements.filter((judgement) => !judgement.doubtful).map(({ what, say }) => `${what}: ${say}`),
  ];
}

function greyLines({ castDeltaE00, exposureStops }: GreyCardUsed): string[] {
  return [
    "white balance and exposure from a grey card",
    `the card stood ΔE00 ${one(castDeltaE00)} from neutral`,
    ...(exposureStops === null ? [] : [stops(exposureStops, "than the card should be")]),
  ];
}

function matchLines(answer: ColourMatched): string[] {
  const percent = (share: number) => `${Math.round(100 * share)} %`;
  return [
    `brought to the colours of ${printable(answer.baseline)} by ${answer.places} places of skin (${percent(answer.skinShare)} of it)`,
    ...differences(answer.deltaE00, "skin"),
    stops(answer.exposureStops, "than the baseline"),
    `${percent(answer.changedShare)} of the places did not follow the rest and were left out`,
    ...answer.chain.map(printable),
  ];
}

const differences = (
  { before, after, crossValidated }: Record<"before" | "after" | "crossValidated", DeltaE>,
  what: string,
) => [
  `colour difference (ΔE00, mean and largest): ${one(before.mean)} and ${one(before.max)} as it is, ${one(after.mean)} and ${one(after.max)} corrected`,
  `on ${what} the correction had not seen: ${one(crossValidated.mean)} and ${one(crossValidated.max)}`,
];

const stops = (value: number, than: string): string =>
  `${one(Math.abs(value))} stops ${value > 0 ? "brighter" : "darker"} ${than}`;

const written = (corrected: CorrectedPicture | undefined): string[] =>
  corrected ? [`written: ${printable(corrected.file)}`] : [];

const one = (value: number): string => value.toFixed(1);
