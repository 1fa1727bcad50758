import type { KitItem } from "./item.ts";

/** Why a thing cannot be used at all; null when it can. */
export function whyUnusable(item: KitItem): string | null {
  if (item.broken !== undefined) return `is broken: ${item.broken}`;
  if (item.away !== undefined) return `is away: ${item.away}`;
  if (item.count === 0) return "has run out";
  return null;
}

/** What has to be done to it before the day; none when nothing is known against it. */
export function toDoOn(item: KitItem, day: string): string[] {
  return [
    ...(item.charged === false ? ["charge it"] : []),
    ...(item.clean === false ? ["clean it"] : []),
    ...(item.dueOn !== undefined && item.dueOn <= day ? [`its check is due since ${item.dueOn}`] : []),
  ];
}
