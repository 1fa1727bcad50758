import { type Fault, type VerifyCounts, type VerifyOptions, verifyLibrary } from "@samescale/record";
import type { Desk } from "../desk.ts";

export type { Fault, VerifyCounts, VerifyOptions };

/** Proves that originals, rows and custody log are as the acts left them; yields every fault. Changes nothing. */
export function verify(desk: Desk, options: VerifyOptions = {}): AsyncGenerator<Fault, VerifyCounts> {
  return verifyLibrary(desk.library, options);
}
