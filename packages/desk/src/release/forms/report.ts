import type { ReleaseForm } from "../form.ts";

/**
 * A finished report. It shows windows of the pictures that nobody masked, so it serves those who know the patient anyway.
 * @param originals SHA-256 of everything that it shows
 */
export function reportForm(report: {
  readonly bytes: Uint8Array;
  readonly fileName: string;
  readonly originals: readonly string[];
}): ReleaseForm {
  return {
    name: "report",
    scopes: ["health-record", "requester"],
    async *files({ frames }) {
      const shown = new Set(frames.map(({ original }) => original));
      const other = report.originals.find((original) => !shown.has(original));
      if (other !== undefined) throw new Error(`the report shows ${other}, which is not released with it`);
      yield { name: report.fileName, bytes: report.bytes, frameId: null, original: null };
    },
  };
}
