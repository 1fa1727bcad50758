import type { Begun, Drop, DropState, JobBegun, OpenDrop } from "@samescale/server";
import { useSyncExternalStore } from "react";
import { ask, Refused, reportFrom } from "../../../api/client.ts";
import type { DroppedCard, DroppedFile } from "./read-dropped.ts";
import { sendFile, statusOf } from "./send-file.ts";

type Report = Refused["report"];

/** A dropped card on its way. It goes on while other places are open. */
export interface CardUpload {
  readonly name: string | null;
  readonly drop: string | null;
  readonly state: "sending" | "stopped" | "failed" | "whole";
  readonly files: number;
  readonly filesSent: number;
  readonly bytes: number;
  readonly bytesSent: number;
  /** Since when, and from how many bytes on, for the time that is left. */
  readonly beganMs: number;
  readonly beganBytes: number;
  readonly isLost: boolean;
  readonly problem: Report | null;
  /** The long work that takes it in, once it is whole. */
  readonly job: string | null;
  /** Cards that wait behind it. */
  readonly behind: number;
}

const AT_ONCE = 3;
const TOLD_EVERY_MS = 150;

let now: CardUpload | null = null;
let card: DroppedCard | null = null;
let queue: DroppedCard[] = [];
let control = new AbortController();
const watchers = new Set<() => void>();
let toldMs = 0;

function set(next: CardUpload | null, isQuiet = false): void {
  now = next && { ...next, behind: queue.length };
  const ms = performance.now();
  if (isQuiet && ms - toldMs < TOLD_EVERY_MS) return;
  toldMs = ms;
  for (const watch of watchers) watch();
}
const change = (more: Partial<CardUpload>, isQuiet = false) => now && set({ ...now, ...more }, isQuiet);

export const useCardUpload = (): CardUpload | null =>
  useSyncExternalStore(
    (watch) => {
      watchers.add(watch);
      return () => watchers.delete(watch);
    },
    () => now,
  );

/** Sends cards one after the other; each is taken in when it is wholly there. */
export function sendCards(cards: readonly DroppedCard[]): void {
  queue = [...queue, ...cards];
  if (now?.state === "sending") change({});
  else void nextCard();
}

async function nextCard(): Promise<void> {
  card = queue.shift() ?? null;
  if (card !== null) await sendCard(card);
}

/** After a stop or a fault: with the files that the page still holds. */
export function goOnSending(): void {
  if (card) void sendCard(card);
}

export function stopSending(): void {
  control.abort();
  change({ state: "stopped", isLost: false });
}

/** The page forgets it; what came lies at the server until it is put away there or dropped again. */
export function forgetUpload(): void {
  card = null;
  set(null);
  void nextCard();
}

async function sendCard(whole: DroppedCard): Promise<void> {
  control = new AbortController();
  const { signal } = control;
  const bytes = whole.files.reduce((sum, { file }) => sum + (file?.size ?? 0), 0);
  const counts = { files: whole.files.length, filesSent: 0, bytes, bytesSent: 0 };
  const fresh = { beganMs: Date.now(), beganBytes: 0, isLost: false, problem: null, job: null, behind: 0 };
  set({ name: whole.folder, drop: now?.drop ?? null, state: "sending", ...counts, ...fresh });
  try {
    const declared = { folder: whole.folder, files: whole.files.length, bytes };
    const drop = (await sameDrop(declared)) ?? (await ask<Drop>("POST", "/card/drops", declared, signal));
    const state = await ask<DropState>("GET", `/card/drops/${drop.id}`, undefined, signal);
    change({ drop: drop.id });
    await sendRest(drop.id, whole, state, signal);
    const isWhole = whole.files.every(({ file }) => file !== null);
    const { job } = await ask<JobBegun>("POST", `/card/drops/${drop.id}/take-in`, {
      withoutTheRest: !isWhole,
    });
    change({ state: "whole", job, filesSent: whole.files.length, bytesSent: bytes });
    card = null;
    if (queue.length > 0) void nextCard();
  } catch (thrown) {
    if (signal.aborted) return;
    control.abort();
    change({ state: "failed", isLost: false, problem: problemOf(thrown) });
  }
}

/** The same card dropped before and not taken in: gone on with. */
async function sameDrop(declared: Omit<Drop, "id" | "begunAt">): Promise<OpenDrop | null> {
  const open = await ask<OpenDrop[]>("GET", "/card/drops");
  const { folder, files, bytes } = declared;
  return open.find((drop) => drop.folder === folder && drop.files === files && drop.bytes === bytes) ?? null;
}

async function sendRest(
  drop: string,
  whole: DroppedCard,
  { here, begun }: DropState,
  signal: AbortSignal,
): Promise<void> {
  const there = new Map(here.map((file) => [file.given, file]));
  const parts = new Map(begun.map((part) => [part.given, part]));
  const readable = whole.files.filter((file): file is DroppedFile & { file: File } => file.file !== null);
  const isSame = (file: File, other: { bytes: number; modifiedMs: number } | undefined) =>
    other?.bytes === file.size && other.modifiedMs === file.lastModified;
  const rest = readable.filter(({ path, file }) => !isSame(file, there.get(path)));
  const sentBefore = readable.filter((file) => !rest.includes(file));
  let filesSent = sentBefore.length;
  let settled = sentBefore.reduce((sum, { file }) => sum + file.size, 0);
  const underWay = new Map<string, number>();
  const tell = (isQuiet: boolean) => {
    const bytesSent = settled + [...underWay.values()].reduce((sum, each) => sum + each, 0);
    change({ filesSent, bytesSent }, isQuiet);
  };
  const resumed = rest.reduce((sum, { path }) => sum + (parts.get(path)?.offset ?? 0), 0);
  change({ beganMs: Date.now(), beganBytes: settled + resumed });
  tell(false);
  const each = rest[Symbol.iterator]();
  const worker = async () => {
    for (const file of each) {
      const part = parts.get(file.path);
      const usable: Begun | null = part && isSame(file.file, part) ? part : null;
      await sendFile({
        drop,
        file,
        begun: usable,
        signal,
        onBytes: (bytes) => {
          underWay.set(file.path, bytes);
          tell(true);
        },
        onLost: (isLost) => now?.isLost !== isLost && change({ isLost }),
      });
      underWay.delete(file.path);
      settled += file.file.size;
      filesSent++;
      tell(true);
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, worker));
}

function problemOf(thrown: unknown): Report {
  if (thrown instanceof Refused) return thrown.report;
  const status = statusOf(thrown);
  const body = (thrown as { originalResponse?: { getBody(): string } }).originalResponse?.getBody();
  try {
    const report = JSON.parse(body ?? "") as Report;
    if (typeof report.code === "string") return report;
  } catch {
    // No report of ours: told below.
  }
  if (status !== 0) return reportFrom(thrown);
  return {
    code: "CONNECTION_LOST",
    message: "The server does not answer, or a file can no longer be read",
    help: "What came stays there. Check the card and the connection, then go on.",
  };
}
