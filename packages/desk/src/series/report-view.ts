import { SamescaleError } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import type { Actor } from "../act/actor.ts";
import { doneOrThrow } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { planOfRequest } from "../look/plan-of-request.ts";
import { reportForm } from "../release/forms/report.ts";
import { releaseOut } from "../release/release-out.ts";
import { departmentRepeats } from "../repeats/kept-outlines.ts";
import { reportSeries } from "../report/report-series.ts";
import { requestAsked } from "../requests/list-requests.ts";
import { compareView } from "./compare-view.ts";
import { picturesOfView } from "./series-pictures.ts";

export interface ReportWanted {
  readonly code: string;
  readonly viewKey: string;
  readonly department: string;
  /** It shows windows that nobody masked: for those who know the patient anyway. */
  readonly scope: "health-record" | "requester";
  readonly to: string;
  readonly purpose: string;
  readonly releasedFolder: string;
}

/**
 * The report of a view as PDF, and its way out: consent is asked, a receipt is kept. A report is no picture that one looks at
 * here but something that leaves.
 * @returns id of the release, by which it is fetched
 * @throws SamescaleError REQUEST_UNKNOWN, SERIES_TOO_SHORT, SERIES_WITHOUT_WINDOW, ACT_REFUSED
 */
export async function releaseReport(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  wanted: ReportWanted,
  signal?: AbortSignal,
): Promise<{ readonly releaseId: string; readonly name: string }> {
  const { code, viewKey } = wanted;
  const members = await compareView(desk, actor, pool, { code, viewKey }, signal);
  const request = (await requestAsked(desk, actor, code))!;
  const plan = await planOfRequest(desk, actor, request.id);
  const { view } = plan!.views.find((planned) => planned.view.key === viewKey)!;
  const pictures = await picturesOfView(desk, actor, request.id, viewKey);
  const gaps = pictures.flatMap(({ member, date, visitId }) =>
    member || date === null
      ? []
      : [{ date, why: visitId === null ? "no picture of this visit" : "this view was not made" }],
  );
  const bytes = await reportSeries(
    desk,
    pool,
    {
      department: wanted.department,
      title: request.title,
      viewName: view.name,
      requestCode: code,
      madeAt: desk.library.clock(),
      mirrored: view.mirrored,
      members,
      gaps,
      ownRepeats: await departmentRepeats(desk),
    },
    signal,
  );
  if (bytes === null) {
    throw new SamescaleError(
      "SERIES_WITHOUT_WINDOW",
      "The baseline has no scale, or nothing was outlined in it",
      "Read the baseline's scale and outline what is followed (Measure); the report shows the window round it.",
    );
  }
  const name = `${code}-${view.key}.pdf`;
  const originals = members.map(({ frame }) => frame.sha256);
  const { id } = doneOrThrow(
    await releaseOut(
      desk,
      actor,
      {
        requestId: request.id,
        frames: members.map(({ frame }) => frame.frameId),
        ...{ scope: wanted.scope, to: wanted.to, purpose: wanted.purpose },
      },
      {
        pool,
        form: reportForm({ bytes, fileName: name, originals }),
        releasedFolder: wanted.releasedFolder,
        ...(signal && { signal }),
      },
    ),
  );
  return { releaseId: id, name };
}
