import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { TestContext } from "node:test";
import { type BackupSecret, type Desk, openDesk } from "../../src/index.ts";
import { addTwoRequests, LEG_LABEL, makeCard, takeAll, temporaryFolder } from "../support.ts";

export const SECRET: BackupSecret = { from: "key-file", bytes: Buffer.from(`${"5a".repeat(32)}\n`) };

/** Two requests, a card of three pictures, a practice of its own, keys that sign; a clock that ticks at every look. */
export async function libraryWithPictures(t: TestContext, padding = 5000, begun?: string): Promise<Desk> {
  let ticks = 0;
  const clock = () => new Date(Date.UTC(2026, 2, 15, 12, 0, ticks++));
  const folder = begun ?? join(await temporaryFolder(t), "library");
  const desk = await openDesk(folder, { clock });
  t.after(() => desk.close());
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DCIM/100CLINI/DSC_0001.JPG": { taken: "2026:03:15 09:00:00", codes: [LEG_LABEL] },
    "DCIM/100CLINI/DSC_0002.JPG": { taken: "2026:03:15 09:01:00", padding },
    "DCIM/100CLINI/DSC_0003.JPG": { taken: "2026:03:15 09:02:00", padding: padding * 2 },
  });
  await takeAll(desk, [card]);
  await mkdir(join(desk.library.folder, "practice"), { recursive: true });
  await writeFile(join(desk.library.folder, "practice/department.yaml"), "version: 7\n");
  await mkdir(join(desk.library.folder, "keys"), { recursive: true });
  await writeFile(join(desk.library.folder, "keys/signing-key.pem"), "secret", { mode: 0o600 });
  return desk;
}

/** Takes more pictures in, of these sizes. */
export async function takeMore(t: TestContext, desk: Desk, paddings: readonly number[]): Promise<void> {
  const files = paddings.map((padding, nth) => {
    const taken = `2026:03:15 10:${String(nth).padStart(2, "0")}:00`;
    return [`DCIM/100CLINI/DSC_${String(10 + nth).padStart(4, "0")}.JPG`, { taken, padding }] as const;
  });
  await takeAll(desk, [await makeCard(join(await temporaryFolder(t), "more"), Object.fromEntries(files))]);
}
