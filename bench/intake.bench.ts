import { spawn, spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { cpus, loadavg, tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { type CardKind, makeBenchCard } from "./intake/card.ts";

/**
 * Taking a card in (copy, read back, second copy, metadata, label codes, previews, tables, log) against `sha256sum` and
 * `vipsthumbnail` over the same files in the same run, 24 MP each.
 *   node bench/intake.bench.ts [files of each kind, 100] [kinds, skin,rulers,labels] [runs, 1]
 */
const [files = "100", kinds = "skin,rulers,labels", runs = "1"] = process.argv.slice(2);
const out = (line: string) => process.stdout.write(`${line}\n`);
const main = resolve(import.meta.dirname, "../apps/cli/src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-bench-"));

interface TakenIn {
  readonly seconds: number;
  /** Until the last file was said to be safe. */
  readonly safeS: number;
  readonly peakMb: number | null;
  readonly cpuS: number | null;
  readonly summary: { readonly stored: number; readonly cardMayBeErased: boolean };
}

/** Greatest memory and processor time so far, as the system counts them; null where it does not (only Linux does so). */
function usedBy(pid: number | undefined): { readonly peakMb: number; readonly cpuS: number } | null {
  try {
    // A program that has ended still has its times and no memory.
    const kb = /VmHWM:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, "utf8"))?.[1];
    if (kb === undefined) return null;
    // Behind the program's name in brackets: user and system time are the 12th and 13th, in hundredths (proc(5)).
    const fields = readFileSync(`/proc/${pid}/stat`, "utf8")
      .replace(/^.*\) /s, "")
      .split(" ");
    return { peakMb: Number(kb) / 1024, cpuS: (Number(fields[11]) + Number(fields[12])) / 100 };
  } catch {
    return null;
  }
}

function takeIn(card: string, practice: string, library: string): Promise<TakenIn> {
  return new Promise((done, failed) => {
    const began = performance.now();
    const args = [main, "take-in", card, "--library", library, "--practice", practice, "--json"];
    // As bin/samescale has it.
    const NODE_COMPILE_CACHE = resolve(import.meta.dirname, "../node_modules/.cache/samescale");
    const env = { ...process.env, MALLOC_ARENA_MAX: "2", NODE_COMPILE_CACHE };
    const child = spawn(process.execPath, args, { stdio: ["ignore", "pipe", "inherit"], env });
    let last = "";
    let safeS = 0;
    let used = usedBy(child.pid);
    const look = setInterval(() => {
      used = usedBy(child.pid) ?? used;
    }, 50);
    child.stdout.setEncoding("utf8").on("data", (text: string) => {
      if (/"state":/.test(text)) safeS = (performance.now() - began) / 1000;
      last = (last + text).split("\n").slice(-2).join("\n");
    });
    child.on("close", (status) => {
      clearInterval(look);
      if (status !== 0) return failed(new Error(`take-in ended with ${status}`));
      const { summary } = JSON.parse(last) as TakenIn;
      const seconds = (performance.now() - began) / 1000;
      done({ seconds, safeS, peakMb: used?.peakMb ?? null, cpuS: used?.cpuS ?? null, summary });
    });
  });
}

interface Timed {
  readonly seconds: number;
  readonly cpuS: number;
}

/** The shell tells the processor time of what it ran. */
function timed(program: string, args: readonly string[]): Timed {
  const began = performance.now();
  const script = '"$0" "$@" > /dev/null || exit; times';
  const run = spawnSync("bash", ["-c", script, program, ...args], { encoding: "utf8", maxBuffer: 1 << 26 });
  if (run.status !== 0) throw new Error(`${program}, to compare with, did not run: ${run.stderr}`);
  const ofChildren = run.stdout.trim().split("\n").at(-1) ?? "";
  const parts = [...ofChildren.matchAll(/(\d+)m([\d.]+)s/g)];
  const cpuS = parts.reduce((sum, [, m, s]) => sum + 60 * Number(m) + Number(s), 0);
  return { seconds: (performance.now() - began) / 1000, cpuS };
}

function practiceWith(name: string, secondPlace: string): string {
  const practice = join(folder, name);
  spawnSync(process.execPath, [main, "practice", "start", practice], { stdio: "ignore" });
  const file = join(practice, "department.yaml");
  writeFileSync(file, `${readFileSync(file, "utf8")}\nsecondPlace: ${secondPlace}\n`);
  return practice;
}

const said = (value: number | null, digits: number) => (value === null ? "not told" : value.toFixed(digits));

try {
  const load = loadavg()[0]!.toFixed(1);
  out(
    `${cpus()[0]?.model ?? "?"}, ${cpus().length} cores · Node ${process.version} · load ${load} at the start`,
  );
  mkdirSync(join(folder, "second"));
  const practices = {
    "one copy": practiceWith("one", "none"),
    "two copies": practiceWith("two", join(folder, "second")),
  };
  out(
    "| card | files | MB | copies | baseline, s | take-in, s | ratio | safe after, s | CPU: baseline, s | take-in, s | ratio | peak, MB |",
  );
  out(`| --- | ---: | ---: | --- |${" ---: |".repeat(8)}`);
  for (const kind of kinds.split(",") as CardKind[]) {
    const paths = await makeBenchCard(folder, kind, Number(files));
    const megabytes = paths.reduce((sum, path) => sum + statSync(path).size, 0) / 1e6;
    for (let run = 0; run < Number(runs); run++) {
      mkdirSync(join(folder, "thumbnails"));
      const thumbnails = ["--size", "480", "-o", join(folder, "thumbnails", "%s.jpg"), ...paths];
      const both = [timed("sha256sum", paths), timed("vipsthumbnail", thumbnails)];
      const seconds = both.reduce((sum, one) => sum + one.seconds, 0);
      const cpuS = both.reduce((sum, one) => sum + one.cpuS, 0);
      rmSync(join(folder, "thumbnails"), { recursive: true });
      for (const [copies, practice] of Object.entries(practices)) {
        const library = join(folder, "library");
        const taken = await takeIn(join(folder, kind), practice, library);
        if (taken.summary.stored !== paths.length || !taken.summary.cardMayBeErased)
          throw new Error(`not all was taken in: ${JSON.stringify(taken.summary)}`);
        rmSync(library, { recursive: true });
        const cells = [kind, paths.length, megabytes.toFixed(0), copies, seconds.toFixed(1)];
        const times = [
          taken.seconds.toFixed(1),
          (taken.seconds / seconds).toFixed(2),
          taken.safeS.toFixed(1),
        ];
        const cpu = [cpuS.toFixed(1), said(taken.cpuS, 1), said(taken.cpuS && taken.cpuS / cpuS, 2)];
        out(`| ${[...cells, ...times, ...cpu, said(taken.peakMb, 0)].join(" | ")} |`);
      }
    }
    rmSync(join(folder, kind), { recursive: true });
  }
  out(`load ${loadavg()[0]!.toFixed(1)} at the end`);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
