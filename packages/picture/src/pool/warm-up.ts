import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { sharp } from "../decode/sharp.ts";
import type { PicturePool } from "./pool.ts";

const RULER_MM = 90;
const PX_PER_MM = 9;

export interface WarmUp {
  /** Frames will be compared with a baseline. */
  readonly compares?: boolean;
}

/**
 * Loads and compiles in every thread what the bedside needs, on a drawn ruler: the first frame of a session is judged as
 * fast as the others.
 */
export async function warmUp(pool: PicturePool, { compares = false }: WarmUp = {}): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), "samescale-warm-"));
  const file = join(folder, "ruler.png");
  try {
    await sharp(Buffer.from(rulerSvg())).png().toFile(file);
    const each = () => [
      pool.run("bedside", { file }),
      pool.run("label", { file, quick: true }),
      ...(compares ? [pool.run("align", { baseline: file, followup: file, quick: true })] : []),
    ];
    await Promise.allSettled(Array.from({ length: pool.threads }, each).flat());
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

function rulerSvg(): string {
  const ticks = Array.from({ length: RULER_MM + 1 }, (_, mm) => {
    const length = mm % 10 === 0 ? 60 : mm % 5 === 0 ? 45 : 30;
    return `<path d="M${50 + mm * PX_PER_MM} 300v${length}"/>`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" width="900" height="600"><rect width="900" height="600" fill="#c9a08a"/><rect y="290" width="900" height="150" fill="#fff"/><g stroke="#000" stroke-width="2">${ticks.join("")}</g></svg>`;
}
