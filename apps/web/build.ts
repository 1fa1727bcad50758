import { createHash } from "node:crypto";
import { existsSync } from "node:fs";
import { mkdir, mkdtemp, readdir, readFile, rename, rm, stat, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { promisify } from "node:util";
import { brotliCompress, gzip } from "node:zlib";

const here = import.meta.dirname;
const BUNDLES = join(here, "dist");
const KEPT = 4;
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
 * there. Each bundle has a folder of its own, named by what it is made from: a server that is running goes on with
 * its own, and two programs that build at once end with a whole one. @returns the folder
 */
export async function buildWeb(): Promise<string> {
  const made = await sourcesHash();
  const built = join(BUNDLES, made.slice(0, 16));
  if (existsSync(built)) return built;
  process.stderr.write("samescale: bundling the application (a few seconds, once)\n");
  await mkdir(BUNDLES, { recursive: true });
  const folder = await mkdtemp(join(BUNDLES, "making-"));
  try {
    const { build } = await import("vite");
    await build({ root: here, logLevel: "warn", build: { outDir: folder, emptyOutDir: true } });
    await fillServiceWorker(folder, made);
    await compress(folder);
    await rename(folder, built);
  } catch (thrown) {
    await rm(folder, { recursive: true, force: true });
    // Another program was quicker.
    if (!existsSync(built)) throw thrown;
  }
  await forgetOld();
  return built;
}

/** The newest bundles stay: servers that were started before an update still read theirs. */
async function forgetOld(): Promise<void> {
  const all = await Promise.all(
    (await readdir(BUNDLES))
      .filter((name) => /^[0-9a-f]{16}$/.test(name))
      .map(async (name) => ({ name, ms: (await stat(join(BUNDLES, name))).mtimeMs })),
  );
  for (const { name } of all.sort((a, b) => b.ms - a.ms).slice(KEPT)) {
    await rm(join(BUNDLES, name), { recursive: true, force: true });
  }
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
