import { asSamescaleError } from "@samescale/errors";
import type { ArrivalAnswer, InfoAnswer, LabelAnswer, PicturePool } from "@samescale/picture";
import type { Originals } from "@samescale/record";
import type { Spool, SpooledPicture } from "../derive/spool.ts";
import { wristbandNumber } from "./label-code.ts";

/** What looking at a picture file gave; faults are kept beside, as the file stays whatever it is. */
export interface Understood {
  readonly info: InfoAnswer | null;
  /** Texts of the codes in it; null: could not be looked at, or was not asked for. */
  readonly codes: readonly string[] | null;
  /** Thumbnail and preview, which wait to be kept. */
  readonly pictures: readonly SpooledPicture[];
  readonly flags: readonly string[];
}

export const NOT_LOOKED_AT: Understood = { info: null, codes: null, pictures: [], flags: [] };

export type Pictures = Pick<PicturePool, "run">;

/** Looks at originals in the pool while the next file is being copied. */
export interface Understanding {
  /**
   * Begins to look. The RAW beside a JPEG is asked what it says of itself only; a second call for the same original
   * asks for the rest.
   */
  begin(sha256: string, name: string, want: "info" | "everything"): void;
  of(sha256: string): Promise<Understood>;
}

export function startUnderstanding(
  pictures: Pictures,
  originals: Originals,
  spool: Spool,
  signal: AbortSignal,
): Understanding {
  const infos = new Map<string, Promise<Understood>>();
  const whole = new Map<string, Promise<Understood>>();

  async function ask(
    sha256: string,
    name: string,
    run: (file: string) => Promise<Understood>,
  ): Promise<Understood> {
    let file = "";
    try {
      file = await originals.localFile(sha256);
      const understood = await run(file);
      return { ...understood, flags: understood.flags.map((said) => said.replaceAll(file, name)) };
    } catch (thrown) {
      if (signal.aborted) return NOT_LOOKED_AT; // whoever stopped it does not want the answer
      // The photographer knows the file by its name on the card, not by the store's.
      const said = asSamescaleError(thrown, name).message;
      return { ...NOT_LOOKED_AT, flags: [file === "" ? said : said.replaceAll(file, name)] };
    }
  }

  return {
    begin(sha256, name, want) {
      if (want === "everything" && !whole.has(sha256)) {
        const everything = async (file: string) =>
          await understoodFrom(await pictures.run("arrival", { file }, signal), spool);
        whole.set(sha256, ask(sha256, name, everything));
      } else if (want === "info" && !infos.has(sha256)) {
        const described = async (file: string) => {
          const info = await pictures.run("info", { file }, signal);
          return { ...NOT_LOOKED_AT, info, flags: info.warnings };
        };
        infos.set(sha256, ask(sha256, name, described));
      }
    },
    of: async (sha256) => (await (whole.get(sha256) ?? infos.get(sha256))) ?? NOT_LOOKED_AT,
  };
}

async function understoodFrom(answer: ArrivalAnswer, spool: Spool): Promise<Understood> {
  const { info, codes, labelWarnings, faults } = answer;
  const flags = [...(info?.warnings ?? []), ...labelWarnings, ...faults.map(({ message }) => message)];
  return {
    info,
    codes: codes?.flatMap(textsOf) ?? null,
    pictures: await Promise.all(answer.pictures.map((picture) => spool.add(picture))),
    flags: [...new Set(flags)],
  };
}

/** A wristband's number stands beside its text, as the record keeps it without the application identifier. */
function textsOf(code: LabelAnswer["codes"][number]): string[] {
  const number = wristbandNumber(code);
  return number === null ? [code.text] : [code.text, number];
}
