import { createHash } from "node:crypto";
import { existsSync } from "node:fs";
import { mkdtemp, readdir, readFile, rename, rm, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { promisify } from "node:util";
import { brotliCompress, gzip } from "node:zlib";

const here = import.meta.dirname;
const BUILT = join(here, "dist");
const STAMP = "made-from.txt";
/** What the bundle is made from: ours, and the packages as the lock file pins them. */
const SOURCES = [
  join(here, "src"),
  join(here, "index.html"),
  join(here, "public"),
  join(here, "vite.config.ts"),
  join(here, "..", "..", "packages", "geometry", "src"),
  join(here, "..", "..", "packages", "errors", "src"),
  join(here, "..", "..", "packages", "picture", "src", "outline"),
  join(here, "..", "..", "packages", "practice", "src", "request"),
  join(here, "..", "..", "packages", "practice", "src", "figures"),
  join(here, "..", "..", "package-lock.json"),
];
const COMPRESSIBLE = /\.(js|css|svg|html)$/;

/**
 * The application bundled for the browser, made anew when a source has changed since (a few seconds), else as it lies
 * there. Two programs that build at once end with a whole folder. @returns the folder
 */
export async function buildWeb(): Promise<string> {
  const made = await sourcesHash();
  if (await isMadeFrom(made)) return BUILT;
  process.stderr.write("samescale: bundling the application (a few seconds, once)\n");
  const folder = await mkdtemp(join(here, "dist-"));
  try {
    const { build } = await import("vite");
    await build({ root: here, logLevel: "warn", build: { outDir: folder, emptyOutDir: true } });
    await fillServiceWorker(folder, made);
    await compress(folder);
    await writeFile(join(folder, STAMP), made);
    const old = `${folder}-old`;
    if (existsSync(BUILT)) await rename(BUILT, old);
    await rename(folder, BUILT);
    await rm(old, { recursive: true, force: true });
  } catch (thrown) {
    await rm(folder, { recursive: true, force: true });
    // Another program was quicker.
    if (!(await isMadeFrom(made))) throw thrown;
  }
  return BUILT;
}

async function isMadeFrom(hash: string): Promise<boolean> {
  const stamp = await readFile(join(BUILT, STAMP), "utf8").catch(() => "");
  return stamp === hash;
}

async function sourcesHash(): Promise<string> {
  const hash = createHash("sha256");
  for (const file of (await Promise.all(SOURCES.map(filesOf))).flat().sort()) {
    hash.update(file.slice(here.length)).update(await readFile(file));
  }
  return hash.digest("hex");
}

async function filesOf(path: string): Promise<string[]> {
  if (!existsSync(path)) return [];
  const entries = await readdir(path, { recursive: true, withFileTypes: true }).catch(() => null);
  if (entries === null) return [path];
  return entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
}

/** What the service worker keeps: every file of the bundle, under the name of what it is made from. */
async function fillServiceWorker(folder: string, made: string): Promise<void> {
  const files = (await filesOf(join(folder, "assets"))).map((file) => `/assets/${basename(file)}`);
  const source = await readFile(join(here, "src", "service-worker.js"), "utf8");
  const filled = source
    .replace('["FILES-OF-THE-BUNDLE"]', JSON.stringify(files.sort()))
    .replace("VERSION-OF-THE-BUNDLE", made.slice(0, 16));
  await writeFile(join(folder, "service-worker.js"), filled);
}

/** Beside each file its packed twins, so that none is packed while somebody waits. */
async function compress(folder: string): Promise<void> {
  for (const file of (await filesOf(folder)).filter((name) => COMPRESSIBLE.test(name))) {
    const bytes = await readFile(file);
    await writeFile(`${file}.gz`, await promisify(gzip)(bytes, { level: 9 }));
    await writeFile(`${file}.br`, await promisify(brotliCompress)(bytes));
  }
}
