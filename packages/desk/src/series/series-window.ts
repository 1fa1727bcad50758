import { composeHomographies, invertHomography } from "@samescale/geometry";
import type { Matrix3, PicturePool, ScaleAnswer, WindowInput } from "@samescale/picture";
import { lookAt } from "../access/look.ts";
import type { Actor } from "../act/actor.ts";
import type { SeriesMember } from "../compare/compare-series.ts";
import { fromWindowPx, windowRound } from "../compare/window.ts";
import type { Desk } from "../desk.ts";
import { mmPerPxIn } from "../frames/compared-frames.ts";
import { planOfRequest } from "../look/plan-of-request.ts";
import { requestByCode } from "../look/request-by-code.ts";
import { type KeptMember, keptSeries } from "./kept-series.ts";
import { picturesOfView } from "./series-pictures.ts";

export interface WindowWanted {
  readonly code: string;
  readonly viewKey: string;
  readonly frameId: string;
  /** `near`: round what was outlined in the baseline; `whole`: all that the baseline shows. */
  readonly part: "near" | "whole";
  readonly widthPx: number;
  /** The follow-up in the baseline's colours, as far as unchanged skin tells them. */
  readonly matchColours: boolean;
  /** What changed against the baseline instead of the picture itself. */
  readonly asDifference: boolean;
}

/** One window of the subject that every picture of a series shows. */
interface Window {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly toBaseline: Matrix3;
  /** Null: the baseline has no scale. */
  readonly pxPerMm: number | null;
}

export interface SeriesPicture {
  /** What it is made of and how: the same text is the same picture. */
  readonly key: string;
  readonly type: "image/jpeg" | "image/png";
  make(pool: PicturePool): Promise<Uint8Array>;
}

export interface WindowShown {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly pxPerMm: number | null;
}

/** Null: there is no such picture in this series that they may look at. */
export async function seriesPicture(
  desk: Desk,
  actor: Actor,
  wanted: WindowWanted,
): Promise<SeriesPicture | null> {
  const found = await membersOf(desk, actor, wanted);
  const member = found?.members.find(({ frame }) => frame.frameId === wanted.frameId);
  const baseline = found?.members[0];
  if (!found || !member || !baseline) return null;
  const window = windowOf(baseline, found.mirrored, wanted.part, wanted.widthPx);
  const kept = found.kept.get(member.frame.sha256) ?? null;
  const windowToPicture =
    member === baseline ? window.toBaseline : inFollowup(window, baseline, member, kept);
  const isAligned = kept?.alignment?.aligned === true;
  const asDifference = wanted.asDifference && isAligned;
  if (wanted.asDifference && !asDifference) return null;
  for (const one of asDifference ? [baseline, member] : [member]) {
    if (!(await lookAt(desk, actor, one.frame.sha256))) return null;
  }
  const { widthPx, heightPx } = window;
  const fileOf = (one: SeriesMember) => desk.library.originals.localFile(one.frame.sha256);
  const correction =
    wanted.matchColours && kept?.colour?.found
      ? (kept.colour.correction as WindowInput["correction"])
      : undefined;
  const made = { windowToPicture, widthPx, heightPx };
  if (asDifference) {
    return {
      key: JSON.stringify([baseline.frame.sha256, member.frame.sha256, made, window.toBaseline]),
      type: "image/png",
      make: async (pool) =>
        await pool.run("difference", {
          ...made,
          ...{
            file: await fileOf(member),
            baseline: await fileOf(baseline),
            windowToBaseline: window.toBaseline,
          },
        }),
    };
  }
  return {
    key: JSON.stringify([member.frame.sha256, made, correction ?? null]),
    type: "image/jpeg",
    make: async (pool) => {
      const file = await fileOf(member);
      return (await pool.run("window", { file, ...made, ...(correction && { correction }) })).jpeg;
    },
  };
}

/** How large the window is, and how long a millimetre in it. Null: nothing to show. */
export async function seriesWindow(
  desk: Desk,
  actor: Actor,
  wanted: Omit<WindowWanted, "frameId" | "matchColours" | "asDifference">,
): Promise<WindowShown | null> {
  const found = await membersOf(desk, actor, wanted);
  const baseline = found?.members[0];
  if (!found || !baseline) return null;
  const { widthPx, heightPx, pxPerMm } = windowOf(baseline, found.mirrored, wanted.part, wanted.widthPx);
  return { widthPx, heightPx, pxPerMm };
}

async function membersOf(desk: Desk, actor: Actor, { code, viewKey }: { code: string; viewKey: string }) {
  const { id } = await requestByCode(desk, actor, code);
  const plan = await planOfRequest(desk, actor, id);
  const planned = plan?.views.find(({ view }) => view.key === viewKey);
  if (!planned) return null;
  const pictures = await picturesOfView(desk, actor, id, viewKey);
  const members = pictures.flatMap(({ member }) => (member ? [member] : []));
  const kept = await keptSeries(
    desk,
    id,
    members.map(({ frame }) => frame.sha256),
  );
  return {
    members,
    mirrored: planned.view.mirrored,
    kept: new Map(kept?.members.map((member) => [member.original, member])),
  };
}

function windowOf(
  { scale, measured }: SeriesMember,
  mirrored: boolean,
  part: WindowWanted["part"],
  widthPx: number,
): Window {
  const near =
    part === "near" && scale.found && measured ? windowRound(measured.regions, scale, mirrored) : null;
  if (near) {
    const pxPerMm = widthPx / near.widthMm;
    const heightPx = Math.round(near.heightMm * pxPerMm);
    return { widthPx, heightPx, toBaseline: fromWindowPx(near.mmToBaseline, pxPerMm), pxPerMm };
  }
  const k = scale.widthPx / widthPx;
  const turn = mirrored ? -1 : 1;
  const toBaseline: Matrix3 = [
    [turn * k, 0, mirrored ? scale.widthPx : 0],
    [0, k, 0],
    [0, 0, 1],
  ];
  const own = pxPerMmOf(scale);
  return {
    widthPx,
    heightPx: Math.round(scale.heightPx / k),
    toBaseline,
    pxPerMm: own === null ? null : own / k,
  };
}

/** Aligned where it could be; else by both scales, middle on middle, so that it is at least true to size. */
function inFollowup(
  window: Window,
  baseline: SeriesMember,
  member: SeriesMember,
  kept: KeptMember | null,
): Matrix3 {
  if (kept?.alignment?.aligned) return windowPxInFollowup(window, kept.alignment.homography);
  const [then, now] = [pxPerMmOf(baseline.scale), pxPerMmOf(member.scale)];
  const k = then && now ? now / then : member.scale.widthPx / baseline.scale.widthPx;
  const baselineToFollowup: Matrix3 = [
    [k, 0, (member.scale.widthPx - k * baseline.scale.widthPx) / 2],
    [0, k, (member.scale.heightPx - k * baseline.scale.heightPx) / 2],
    [0, 0, 1],
  ];
  return composeHomographies(baselineToFollowup, window.toBaseline);
}

const windowPxInFollowup = (window: Window, followupToBaseline: Matrix3): Matrix3 =>
  composeHomographies(invertHomography(followupToBaseline), window.toBaseline);

function pxPerMmOf(scale: ScaleAnswer): number | null {
  const mmPerPx = mmPerPxIn(scale);
  return mmPerPx === null ? null : 1 / mmPerPx;
}
