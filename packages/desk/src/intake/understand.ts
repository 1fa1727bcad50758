import { asSamescaleError } from "@samescale/errors";
import type { InfoAnswer, LabelAnswer, PicturePool } from "@samescale/picture";
import type { Originals } from "@samescale/record";
import { wristbandNumber } from "./label-code.ts";

/** What looking at a picture file gave; faults are kept beside, as the file stays whatever it is. */
export interface Understood {
  readonly info: InfoAnswer | null;
  /** Texts of the codes in it; null: could not be looked at, or was not asked for. */
  readonly codes: readonly string[] | null;
  readonly flags: readonly string[];
}

export type Pictures = Pick<PicturePool, "run">;

/** Looks at originals in the pool while the next file is being copied. */
export interface Understanding {
  /** Begins to look; a second call for the same original adds what the first did not ask for. */
  begin(sha256: string, name: string, want: { readonly codes: boolean }): void;
  of(sha256: string): Promise<Understood>;
}

export function startUnderstanding(
  pictures: Pictures,
  originals: Originals,
  signal: AbortSignal,
): Understanding {
  type Half<T> = { readonly value: T | null; readonly flags: readonly string[] };
  const infos = new Map<string, Promise<Half<InfoAnswer>>>();
  const codes = new Map<string, Promise<Half<readonly string[]>>>();

  async function ask<T>(
    sha256: string,
    name: string,
    run: (file: string) => Promise<Half<T>>,
  ): Promise<Half<T>> {
    let file = "";
    try {
      file = await originals.localFile(sha256);
      return await run(file);
    } catch (thrown) {
      if (signal.aborted) return { value: null, flags: [] }; // whoever stopped it does not want the answer
      // The photographer knows the file by its name on the card, not by the store's.
      const said = asSamescaleError(thrown, name).message;
      return { value: null, flags: [file === "" ? said : said.replaceAll(file, name)] };
    }
  }

  return {
    begin(sha256, name, want) {
      if (!infos.has(sha256)) {
        const info = ask(sha256, name, async (file) => {
          const value = await pictures.run("info", { file }, signal);
          return { value, flags: value.warnings };
        });
        infos.set(sha256, info);
      }
      if (want.codes && !codes.has(sha256)) {
        const found = ask(sha256, name, async (file) => {
          const { codes, warnings } = await pictures.run("label", { file }, signal);
          return { value: codes.flatMap(textsOf), flags: warnings };
        });
        codes.set(sha256, found);
      }
    },
    async of(sha256) {
      const info = await infos.get(sha256);
      const found = await codes.get(sha256);
      return {
        info: info?.value ?? null,
        codes: found?.value ?? null,
        flags: [...new Set([...(info?.flags ?? []), ...(found?.flags ?? [])])],
      };
    },
  };
}

/** A wristband's number stands beside its text, as the record keeps it without the application identifier. */
function textsOf(code: LabelAnswer["codes"][number]): string[] {
  const number = wristbandNumber(code);
  return number === null ? [code.text] : [code.text, number];
}
