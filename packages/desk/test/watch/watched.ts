import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { TestContext } from "node:test";
import { setTimeout as sleep } from "node:timers/promises";
import type { FolderEvent } from "../../src/index.ts";
import { followFolder } from "../../src/index.ts";

/** A whole JPEG by its first and last bytes, with this content; larger with `padding`. */
export const jpeg = (content: string, padding = 0): Buffer =>
  Buffer.concat([
    Buffer.from("ffd8ffe1", "hex"),
    Buffer.from(content.padEnd(64)),
    Buffer.alloc(padding, content || "x"),
    Buffer.from("ffd9", "hex"),
  ]);

/** A whole little-endian TIFF of one strip: a camera's RAW when its name is not that of a TIFF. */
export function raw(content: string): Buffer {
  const data = Buffer.from(content.padEnd(64));
  const bytes = Buffer.alloc(8 + 2 + 24 + 4);
  bytes.write("II*\0", "latin1");
  bytes.writeUInt32LE(8, 4);
  bytes.writeUInt16LE(2, 8);
  [
    [273, bytes.length],
    [279, data.length],
  ].forEach(([tag, value], i) => {
    bytes.writeUInt16LE(tag!, 10 + 12 * i);
    bytes.writeUInt16LE(4, 12 + 12 * i);
    bytes.writeUInt32LE(1, 14 + 12 * i);
    bytes.writeUInt32LE(value!, 18 + 12 * i);
  });
  return Buffer.concat([bytes, data]);
}

export async function emptyFolder(t: TestContext): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "samescale-watch-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  return folder;
}

/** Events as short lines, with paths relative to the folder and ids as letters in order of appearance. */
export class Told {
  readonly events: FolderEvent[] = [];
  readonly #folder: string;
  readonly #ids: string[] = [];

  constructor(folder: string) {
    this.#folder = folder;
  }

  lines(from = 0): string[] {
    return this.events.slice(from).map((event) => this.#line(event));
  }

  /** Waits until this line was told; fails after `ms`. */
  async until(line: string, ms = 6000): Promise<void> {
    for (const end = performance.now() + ms; performance.now() < end; await sleep(10)) {
      if (this.lines().includes(line)) return;
    }
    throw new Error(`never told: ${line}; but: ${JSON.stringify(this.lines())}`);
  }

  #line(event: FolderEvent): string {
    const short = (path: string) => path.replace(`${this.#folder}/`, "").replace(this.#folder, ".");
    if (event.kind === "folder") return `${short(event.folder)} ${event.state}`;
    if (event.kind === "ignored") return `ignored ${short(event.file)}: ${short(event.why)}`;
    if (event.kind === "unreadable") return `unreadable ${short(event.file)}: ${event.error.code}`;
    const known = this.#ids.indexOf(event.id);
    const letter = String.fromCharCode(97 + (known < 0 ? this.#ids.push(event.id) - 1 : known));
    if (event.kind === "removed") return `removed ${letter}`;
    const files = event.files.map(({ path }) => short(path)).join(" + ");
    if (event.kind === "files") return `${event.why} ${letter}: ${files}`;
    return `frame ${letter}: ${files}${event.endsWhole ? "" : " (no end)"}`;
  }
}

/** Follows a folder until the test ends. */
export function follow(t: TestContext, folder: string, options: { readonly pollMs?: number } = {}): Told {
  const told = new Told(folder);
  const stop = new AbortController();
  const done = (async () => {
    for await (const event of followFolder(folder, { ...options, signal: stop.signal }))
      told.events.push(event);
  })();
  t.after(async () => {
    stop.abort();
    await done;
  });
  return told;
}

/** What is told of a folder by one look. */
export async function lookOnce(folder: string): Promise<string[]> {
  const told = new Told(folder);
  for await (const event of followFolder(folder, { once: true })) told.events.push(event);
  return told.lines();
}
