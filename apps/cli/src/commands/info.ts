import type { InfoAnswer } from "@samescale/picture";
import type { Command } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { type JsonOption, jsonOption, photoArguments } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

/** `samescale info PHOTO…`: what each file says of itself. */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(photoArguments(command)).action(async (photos: string[], options: JsonOption) => {
    exit(
      await answerPhotos({
        photos,
        json: options.json === true,
        run: (file, pool, signal) => pool.run("info", { file }, signal),
        human: (answer) => humanInfo(answer as InfoAnswer),
      }),
    );
  });
}

function humanInfo(info: InfoAnswer): string {
  const settings = [
    info.focalMm === null ? null : `${short(info.focalMm)} mm`,
    info.fNumber === null ? null : `f/${short(info.fNumber)}`,
    info.exposureS === null ? null : exposure(info.exposureS),
    info.iso === null ? null : `ISO ${info.iso}`,
    info.flashFired === null ? null : info.flashFired ? "flash" : "no flash",
    info.subjectDistanceMm === null ? null : `subject at ${short(info.subjectDistanceMm)} mm`,
  ].filter((part) => part !== null);
  const lines: (readonly [name: string, value: string | null])[] = [
    ["picture", `${info.format}, ${info.widthPx} x ${info.heightPx} px${turned(info.orientation)}`],
    ["taken", info.takenAt && taken(info.takenAt)],
    ["camera", camera(info)],
    ["lens", info.lens],
    ["settings", settings.join(", ") || null],
    ["sensor", info.sensorWidthMm && `${info.sensorWidthMm.value} mm wide (${info.sensorWidthMm.from})`],
    ["file", `${info.bytes} bytes, sha256 ${info.sha256}`],
    ...info.warnings.map((said) => ["note", said] as const),
  ];
  const told = lines.flatMap(([name, value]) =>
    value === null ? [] : [`  ${name.padEnd(9)} ${printable(value)}`],
  );
  return [printable(info.file), ...told].join("\n");
}

/** Many models repeat the maker's name. */
function camera({ make, model }: InfoAnswer): string | null {
  if (make === null || model === null) return model ?? make;
  const first = make.split(" ", 1)[0] ?? make;
  return model.toLowerCase().startsWith(first.toLowerCase()) ? model : `${make} ${model}`;
}

const turned = (orientation: number) => (orientation === 1 ? "" : ` upright (orientation ${orientation})`);

const taken = ({ raw, iso, zone }: NonNullable<InfoAnswer["takenAt"]>) =>
  iso === null
    ? `"${raw}", not a time`
    : `${iso.replace("T", " ")}${zone === "not stated" ? " (zone not stated)" : ""}`;

const short = (value: number) => String(Number(value.toPrecision(4)));

const exposure = (seconds: number) => (seconds < 0.3 ? `1/${short(1 / seconds)} s` : `${short(seconds)} s`);
