import {
  calibrationsOf,
  changePractice,
  doneOrThrow,
  PHOTOGRAPHERS,
  type PracticeChanged,
  practiceFile,
  ROLES,
  type ScaleToMeasure,
  scalesPdf,
  scaleToMeasure,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import {
  BOUGHT_KINDS,
  type CalibratedScales,
  MOST_TOLERANCE_PERCENT,
  type Recorded,
  withMeasurement,
  withWithdrawal,
} from "@samescale/practice";
import { z } from "zod";
import type { Area, AreaDeps } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { day, line } from "./fields.ts";

export interface ShownScales {
  readonly today: string;
  readonly scales: readonly {
    readonly id: string;
    readonly kind: string;
    readonly nominalMm: number;
    readonly withdrawn: string | null;
    readonly measuredOn: string;
    readonly by: string;
    readonly instrument: string;
    /** Measured length against the nominal one, in percent, of each length that was measured. */
    readonly lengths: readonly {
      readonly what: string;
      readonly nominalMm: number;
      readonly measuredMm: number;
    }[];
    readonly dueOn: string;
    readonly isDue: boolean;
    readonly measurements: number;
  }[];
  readonly boughtKinds: readonly string[];
  readonly mostTolerancePercent: number;
}

const RECORD = "calibrated-scales.json";
const KINDS = {
  "straight-50": "straight-50",
  "straight-150": "straight-150",
  l: "l",
  labels: "label",
} as const;
const mm = z.number().positive().max(6000);
const id = line(40);

const measurement = z.object({
  id,
  kind: z.enum(BOUGHT_KINDS).exactOptional(),
  nominalMm: mm.exactOptional(),
  printedOn: day.nullable().default(null),
  measuredOn: day,
  dueOn: day,
  by: line(200),
  instrument: line(300),
  resolutionMm: z.number().positive().max(100),
  instrumentU95Mm: z.number().min(0).max(100).nullable().default(null),
  tolerancePercent: z.number().positive().max(100).default(MOST_TOLERANCE_PERCENT),
  acrossMm: mm.exactOptional(),
  alongMm: mm.exactOptional(),
  measuredMm: mm.exactOptional(),
});

/** Our own scales printed, and what scales measured. */
export const scaleRoutes: Area = (app, deps) => {
  const { desk, practiceFolder } = deps;
  const today = () => desk.library.clock().toISOString().slice(0, 10);
  app.get("/practice/scales", { config: { may: ROLES } }, async (): Promise<ShownScales> => {
    const { scales } = await calibrationsOf(await practiceFolder());
    return {
      ...{ today: today(), boughtKinds: BOUGHT_KINDS, mostTolerancePercent: MOST_TOLERANCE_PERCENT },
      scales: scales.map(({ id, kind, nominalMm, withdrawn, measurements }) => {
        const last = measurements.at(-1)!;
        return {
          ...{ id, kind, nominalMm, withdrawn: withdrawn && `${withdrawn.on}: ${withdrawn.why}` },
          ...{ measuredOn: last.measuredOn, by: last.by, instrument: last.instrument, lengths: last.lengths },
          ...{ dueOn: last.dueOn, isDue: withdrawn === null && last.dueOn <= today() },
          measurements: measurements.length,
        };
      }),
    };
  });
  const sheet = z.object({
    kind: z.enum(Object.keys(KINDS) as [keyof typeof KINDS, ...(keyof typeof KINDS)[]]),
    paper: z.enum(["a4", "letter"]),
    count: z.coerce.number().int().min(1).max(100),
  });
  app.get(
    "/practice/scales/sheet.pdf",
    { config: { may: PHOTOGRAPHERS }, schema: { querystring: sheet } },
    async ({ query }, reply) => {
      const { kind, paper, count } = query;
      const { pdf } = await scalesPdf({ kind: KINDS[kind], paper, count, madeAt: desk.library.clock() });
      return await reply
        .type("application/pdf")
        .header("content-disposition", `attachment; filename="scales-${kind}.pdf"`)
        .send(pdf);
    },
  );
  app.get(
    "/practice/scales/named",
    { config: { may: PHOTOGRAPHERS }, schema: { querystring: z.object({ id }) } },
    async ({ query }): Promise<ScaleToMeasure> => scaleToMeasure(query.id),
  );
  app.post(
    "/practice/scales",
    { config: { may: PHOTOGRAPHERS }, schema: { body: measurement } },
    async (request): Promise<PracticeChanged> => {
      const { id: typed, kind, nominalMm, printedOn, acrossMm, alongMm, measuredMm, ...said } = request.body;
      const named = scaleToMeasure(typed);
      const scale = named.isPrinted
        ? { id: named.id, kind: named.kind, nominalMm: named.nominalMm, printedOn }
        : { id: named.id, kind: kind ?? "other", nominalMm: nominalMm ?? 0, printedOn: null };
      const lengths = [
        ...(acrossMm ? [{ what: "check line across" as const, nominalMm: 100, measuredMm: acrossMm }] : []),
        ...(alongMm ? [{ what: "check line along" as const, nominalMm: 100, measuredMm: alongMm }] : []),
        ...(measuredMm ? [{ what: "scale" as const, nominalMm: scale.nominalMm, measuredMm }] : []),
      ];
      return await changed(deps, who(request), (record) =>
        withMeasurement(record, scale, { ...said, lengths }, today()),
      );
    },
  );
  app.post(
    "/practice/scales/:id/withdraw",
    {
      config: { may: PHOTOGRAPHERS },
      schema: { params: z.object({ id }), body: z.object({ why: line(300) }) },
    },
    async (request): Promise<PracticeChanged> =>
      await changed(deps, who(request), (record) =>
        withWithdrawal(record, request.params.id, { on: today(), why: request.body.why }, today()),
      ),
  );
};

async function changed(
  { desk, practiceFolder }: Pick<AreaDeps, "desk" | "practiceFolder">,
  actor: ReturnType<typeof who>,
  change: (record: CalibratedScales) => Recorded,
): Promise<PracticeChanged> {
  const folder = await practiceFolder();
  const before = (await practiceFile(folder, RECORD))?.sha256 ?? null;
  const outcome = change(await calibrationsOf(folder));
  if ("refused" in outcome) {
    throw new SamescaleError("CALIBRATION_REFUSED", `Not recorded: ${outcome.refused}.`, outcome.help);
  }
  const text = `${JSON.stringify(outcome.record, null, 2)}\n`;
  return doneOrThrow(await changePractice(desk, actor, { folder, path: RECORD, before, text }));
}
