import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import type { TestContext } from "node:test";
import {
  addPatient,
  addRequest,
  type Desk,
  doneOrThrow,
  openDesk,
  type TakeIn,
  type TakeInLine,
  takeIn,
} from "../src/index.ts";
import { MARA, type MadeUp, madeUpFile, madeUpPictures, NOON } from "./made-up.ts";

export * from "./made-up.ts";

/** A folder that is gone after the test. */
export async function temporaryFolder(t: TestContext): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "samescale-desk-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  return folder;
}

/** A desk over a fresh library, with a clock that stands at noon, closed after the test. */
export async function freshDesk(t: TestContext): Promise<Desk> {
  const desk = await openDesk(join(await temporaryFolder(t), "library"), { clock: () => NOON });
  t.after(() => desk.close());
  return desk;
}

/** Writes a card: file contents or made-up pictures by path. */
export async function makeCard(
  folder: string,
  files: Readonly<Record<string, MadeUp | Buffer | string>>,
): Promise<string> {
  for (const [path, content] of Object.entries(files)) {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    const isPlain = typeof content === "string" || Buffer.isBuffer(content);
    await writeFile(join(folder, path), isPlain ? content : madeUpFile(content));
  }
  return folder;
}

export async function takeAll(
  desk: Desk,
  cards: readonly string[],
  more: Partial<TakeIn> = {},
): Promise<TakeInLine[]> {
  const lines: TakeInLine[] = [];
  const secondPlace = { is: "one copy is enough" } as const;
  for await (const line of takeIn({
    desk,
    actor: MARA,
    cards,
    pictures: madeUpPictures,
    secondPlace,
    ...more,
  }))
    lines.push(line);
  return lines;
}

/** One line per file as `name state`, the summary apart. */
export function statesOf(lines: readonly TakeInLine[], card: string): string[] {
  return lines.flatMap((line) =>
    "state" in line ? [`${line.file.slice(card.length + 1)} ${line.state}`] : [],
  );
}

export function summaryOf(lines: readonly TakeInLine[]) {
  const last = lines.at(-1);
  if (!last || !("summary" in last)) throw new Error("the last line is the summary");
  return last.summary;
}

/** Two patients with a request each. */
export async function addTwoRequests(desk: Desk): Promise<{ leg: string; hand: string }> {
  const add = async (number: string, name: string, code: string) => {
    const patient = { number, authority: "H", name, birthDate: null };
    const { id } = doneOrThrow(await addPatient(desk, MARA, patient));
    return doneOrThrow(await addRequest(desk, MARA, { code, patientId: id, kind: "clinical" })).id;
  };
  return { leg: await add("HN10001", "Ada", "R-1"), hand: await add("HN20002", "Ben", "R-2") };
}

export const LEG_LABEL = "SR1:R-1:HN10001";
export const HAND_LABEL = "SR1:R-2:HN20002";

/** `frame request-code` in the order of the card, `-` where it is unplaced. */
export async function placings(desk: Desk): Promise<string[]> {
  const rows = await desk.library.read
    .selectFrom("frame")
    .leftJoin("request", "request.id", "frame.request_id")
    .select(["frame.name", "request.code"])
    .orderBy("frame.position")
    .execute();
  return rows.map(({ name, code }) => `${name} ${code ?? "-"}`);
}

export async function faultsOf(desk: Desk): Promise<string[]> {
  const { verify } = await import("../src/index.ts");
  const faults: string[] = [];
  for await (const { where, subject, fault } of verify(desk)) faults.push(`${where} ${subject}: ${fault}`);
  return faults;
}
