import {
  calibrationsOf,
  type DepartmentFigures,
  departmentFigures,
  dueOfScales,
  PHOTOGRAPHERS,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { day } from "./fields.ts";
import { figuresCsv } from "./figures-csv.ts";

export interface ShownFigures extends DepartmentFigures {
  readonly today: string;
  readonly scalesDue: readonly {
    readonly id: string;
    readonly name: string;
    readonly dueOn: string;
    readonly isDue: boolean;
  }[];
}

const MOST_YEARS_MS = 20 * 366 * 86_400_000;

/** Figures for whoever answers for the department. No name and no code of a patient or a request is in them. */
export const figureRoutes: Area = (app, { desk, practice, practiceFolder }) => {
  const schema = { querystring: z.object({ from: day, to: day }) };
  const figures = async (
    request: Parameters<typeof who>[0],
    wanted: { from: string; to: string },
  ): Promise<ShownFigures> => {
    const [from, to] = [Date.parse(wanted.from), Date.parse(wanted.to)];
    if (!(from <= to && to - from < MOST_YEARS_MS)) {
      throw new SamescaleError(
        "FIELD_NOT_RIGHT",
        "Expected days that exist, the first before the last, at most 20 years apart",
        "Put the days right.",
      );
    }
    const counted = await departmentFigures(desk, who(request), wanted);
    if (counted === null)
      throw new SamescaleError("ROLE_NOT_ALLOWED", "Figures are for those who photograph", "Ask the lead.");
    const whole = await practice();
    const due = dueOfScales(whole, await calibrationsOf(await practiceFolder()));
    const today = desk.library.clock().toISOString().slice(0, 10);
    const scalesDue = whole.kit.scales.flatMap(({ id, name, dueOn }) => {
      const at = due.get(id) ?? dueOn;
      return at === undefined ? [] : [{ id, name, dueOn: at, isDue: at <= today }];
    });
    return { ...counted, today, scalesDue: scalesDue.toSorted((a, b) => (a.dueOn < b.dueOn ? -1 : 1)) };
  };
  app.get(
    "/practice/figures",
    { config: { may: PHOTOGRAPHERS }, schema },
    async (request) => await figures(request, request.query),
  );
  app.get("/practice/figures.csv", { config: { may: PHOTOGRAPHERS }, schema }, async (request, reply) => {
    const { from, to } = request.query;
    return await reply
      .type("text/csv; charset=utf-8")
      .header("content-disposition", `attachment; filename="figures-${from}-to-${to}.csv"`)
      .send(figuresCsv(await figures(request, { from, to })));
  });
};
