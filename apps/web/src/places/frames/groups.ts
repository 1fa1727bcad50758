import type { FrameCard } from "@samescale/server";

/** The frames of one visit, in the order in which they were made. */
export interface Group {
  readonly key: string;
  readonly request: FrameCard["request"];
  readonly visit: FrameCard["visit"];
  readonly frames: readonly FrameCard[];
}

export type Row =
  | { readonly kind: "head"; readonly group: Group }
  | { readonly kind: "frames"; readonly frames: readonly FrameCard[]; readonly key: string };

/**
 * Visits, the newest first, each with its frames from the first to the last. The last visit is held back while more of it
 * may come: what is seen must not jump.
 */
export function groupsOf(newestFirst: readonly FrameCard[], isAll: boolean): Group[] {
  const groups = new Map<string, FrameCard[]>();
  for (const frame of newestFirst) {
    const key = `${frame.request?.code ?? ""}/${frame.visit?.id ?? ""}`;
    const group = groups.get(key);
    if (group) group.push(frame);
    else groups.set(key, [frame]);
  }
  const all = [...groups].map(([key, frames]): Group => {
    const { request, visit } = frames[0]!;
    return { key, request, visit, frames: frames.toReversed() };
  });
  return isAll || all.length < 2 ? all : all.slice(0, -1);
}

/** As lines on the screen. */
export function rowsOf(groups: readonly Group[], columns: number): Row[] {
  const rows: Row[] = [];
  for (const group of groups) {
    rows.push({ kind: "head", group });
    for (let at = 0; at < group.frames.length; at += columns) {
      const frames = group.frames.slice(at, at + columns);
      rows.push({ kind: "frames", frames, key: frames[0]!.frameId });
    }
  }
  return rows;
}

/** Where an arrow leads from a frame; the same frame at an end. */
export function neighbour(rows: readonly Row[], frameId: string | null, arrow: string): string | null {
  const lines = rows.flatMap((row) => (row.kind === "frames" ? [row.frames] : []));
  const all = lines.flat();
  const line = lines.findIndex((one) => one.some((frame) => frame.frameId === frameId));
  if (line < 0) return all[0]?.frameId ?? null;
  const column = lines[line]!.findIndex((frame) => frame.frameId === frameId);
  const at = all.findIndex((frame) => frame.frameId === frameId);
  const vertical = (step: number) => {
    const other = lines[line + step];
    return other ? other[Math.min(column, other.length - 1)] : undefined;
  };
  const found =
    arrow === "ArrowRight"
      ? all[at + 1]
      : arrow === "ArrowLeft"
        ? all[at - 1]
        : arrow === "ArrowDown"
          ? vertical(1)
          : arrow === "ArrowUp"
            ? vertical(-1)
            : arrow === "Home"
              ? all[0]
              : all.at(-1);
  return found?.frameId ?? frameId;
}
