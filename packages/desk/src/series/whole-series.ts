import { changeBetween, changeSentence, changesSinceFirst, type MeasuredVisit } from "@samescale/exchange";
import { imagePoint, type Measured } from "@samescale/geometry";
import { type SameRatio, sameRatio } from "@samescale/picture";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { requestAsked } from "../requests/list-requests.ts";
import { type KeptMember, keptSeries } from "./kept-series.ts";
import { picturesOfView, type VisitPicture, viewsWithPictures } from "./series-pictures.ts";

/** One visit as the page shows it. */
export interface SeriesVisitShown {
  readonly visitId: string | null;
  readonly date: string | null;
  readonly frame: {
    readonly frameId: string;
    readonly sha256: string;
    readonly name: string;
    readonly widthPx: number;
    readonly heightPx: number;
  } | null;
  /** Why there is no picture; null: there is one. */
  readonly noPicture: string | null;
  readonly verdict: VisitPicture["verdict"];
  readonly isBaseline: boolean;
  /** Null: the baseline, or not compared yet. */
  readonly alignment:
    | { readonly aligned: true; readonly warnings: readonly string[]; readonly framing: readonly string[] }
    | { readonly aligned: false; readonly reason: string }
    | null;
  readonly byPoints: boolean;
  /** The two answers to "same ratio?", follow-up px per baseline px; null: one of them is missing. */
  readonly sameRatio: SameRatio | null;
  readonly ratioRead: Measured | null;
  readonly noRatio: string | null;
  readonly areaMm2: Measured | null;
  readonly lengthMm: Measured | null;
  readonly widthMm: Measured | null;
  readonly perimeterMm: Measured | null;
  readonly notMeasured: string | null;
  /** The scale lay so far above (+) or below (-) the skin, and the sizes are corrected for it. */
  readonly scaleHeightMm: Measured | null;
  readonly colours: { readonly before: number; readonly after: number } | null;
}

export interface WholeSeries {
  readonly request: { readonly code: string; readonly title: string };
  readonly views: readonly { readonly key: string; readonly name: string; readonly pictures: number }[];
  /** The one that is shown; null: no view has a picture. */
  readonly view: { readonly key: string; readonly name: string; readonly mirrored: boolean } | null;
  readonly visits: readonly SeriesVisitShown[];
  /** When it was compared; null: not yet. */
  readonly comparedAt: string | null;
  /** Pictures came or went since then. */
  readonly isStale: boolean;
  readonly baselineBefore: string | null;
  /** In words, whether the change is larger than the uncertainty. Nothing about healing. */
  readonly changes: readonly string[];
}

/** A request's series of one view over its visits, as it was last compared. Null: there is no such request. */
export async function wholeSeries(
  desk: Desk,
  actor: Actor,
  code: string,
  viewKey: string | null,
): Promise<WholeSeries | null> {
  const request = await requestAsked(desk, actor, code);
  if (!request) return null;
  const views = await viewsWithPictures(desk, actor, request.id);
  const most = views.toSorted((a, b) => b.pictures - a.pictures)[0];
  const chosen =
    views.find(({ planned }) => planned.view.key === viewKey) ?? (viewKey === null ? most : undefined);
  const pictures = chosen ? await picturesOfView(desk, actor, request.id, chosen.planned.view.key) : [];
  const members = pictures.flatMap(({ member }) => (member ? [member] : []));
  const originals = members.map(({ frame }) => frame.sha256);
  const kept = await keptSeries(desk, request.id, originals);
  const keptOf = new Map(kept?.members.map((member) => [member.original, member]));
  const visits = pictures.map((picture) =>
    shown(picture, members[0] ?? null, keptOf.get(picture.member?.frame.sha256 ?? "") ?? null),
  );
  return {
    request: { code: request.code, title: request.title },
    views: views.map(({ planned, pictures: n }) => ({
      key: planned.view.key,
      name: planned.view.name,
      pictures: n,
    })),
    view: chosen
      ? {
          key: chosen.planned.view.key,
          name: chosen.planned.view.name,
          mirrored: chosen.planned.view.mirrored,
        }
      : null,
    visits,
    comparedAt: kept?.madeAt ?? null,
    isStale: kept !== null && originals.join() !== kept.members.map(({ original }) => original).join(),
    baselineBefore: kept?.baselineBefore ?? null,
    changes: changesIn(visits),
  };
}

function shown(
  { visitId, date, member, verdict, corrected }: VisitPicture,
  baseline: VisitPicture["member"],
  kept: KeptMember | null,
): SeriesVisitShown {
  const none = { areaMm2: null, lengthMm: null, widthMm: null, perimeterMm: null };
  if (!member) {
    const noPicture = visitId === null ? "It was booked, and no picture was made" : "This view was not made";
    return {
      ...{
        visitId,
        date,
        frame: null,
        noPicture,
        verdict,
        isBaseline: false,
        alignment: null,
        byPoints: false,
      },
      ...{ sameRatio: null, ratioRead: null, noRatio: null, ...none, notMeasured: null, scaleHeightMm: null },
      colours: null,
    };
  }
  const { frame, scale } = member;
  const alignment = kept?.alignment ?? null;
  const stands = kept?.scaleOffset?.stands === true;
  const [region] = ((stands && corrected) || member.measured)?.measurement.regions ?? [];
  const middle = imagePoint(scale.widthPx / 2, scale.heightPx / 2);
  const { colour = null } = kept ?? {};
  return {
    visitId,
    date,
    frame: {
      frameId: frame.frameId,
      sha256: frame.sha256,
      name: frame.name,
      widthPx: scale.widthPx,
      heightPx: scale.heightPx,
    },
    noPicture: null,
    verdict,
    isBaseline: member === baseline,
    alignment:
      alignment === null
        ? null
        : alignment.aligned
          ? { aligned: true, warnings: alignment.warnings, framing: alignment.framing?.words ?? [] }
          : { aligned: false, reason: alignment.reason },
    byPoints: alignment?.points !== undefined,
    sameRatio:
      alignment?.aligned && baseline ? sameRatio(alignment.homography, middle, baseline.scale, scale) : null,
    ratioRead: scale.found ? scale.reproductionRatio : null,
    noRatio: scale.found ? (scale.reproductionRatio ? null : (scale.ratioFrom ?? null)) : scale.reason,
    areaMm2: region?.areaMm2 ?? null,
    lengthMm: region?.lengthMm ?? null,
    widthMm: region?.widthMm ?? null,
    perimeterMm: region?.perimeterMm ?? null,
    notMeasured: region ? null : scale.found ? "Nothing was outlined in it" : "Its scale was not read",
    scaleHeightMm: stands ? (kept?.scaleOffset?.heightMm ?? null) : null,
    colours: colour?.found
      ? { before: colour.deltaE00.before.mean, after: colour.deltaE00.crossValidated.mean }
      : null,
  };
}

/** The last against the first, and against the one before it. */
function changesIn(visits: readonly SeriesVisitShown[]): string[] {
  const measured = visits.flatMap(({ date, areaMm2, perimeterMm }): MeasuredVisit[] =>
    date && areaMm2 && perimeterMm ? [{ dateIso: date, areaMm2, perimeterMm }] : [],
  );
  const last = changesSinceFirst(measured).at(-1);
  const [before, now] = measured.slice(-2);
  if (!last || !before || !now) return [];
  return [changeSentence(last), ...(measured.length > 2 ? [changeSentence(changeBetween(before, now))] : [])];
}
