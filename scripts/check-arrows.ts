import { globSync, readFileSync } from "node:fs";

/**
 * Holds the arrows of the architecture: who may import whom (type imports count), which packages are pure, and who
 * alone may touch a database. Prints each broken arrow and exits 1.
 */
const mayImport: Readonly<Record<string, readonly string[]>> = {
  errors: [],
  marker: [],
  optics: ["errors"],
  geometry: ["errors"],
  practice: ["errors", "geometry", "marker", "optics"],
  picture: ["errors", "geometry", "marker", "optics"],
  record: ["errors", "geometry", "optics"],
  exchange: ["errors", "geometry", "marker", "optics"],
  simulator: ["errors", "geometry", "marker", "optics"],
  desk: ["errors", "geometry", "marker", "optics", "practice", "picture", "record", "exchange"],
  server: ["errors", "geometry", "optics", "practice", "picture", "desk", "simulator"],
  web: ["errors", "geometry", "optics", "picture/outline", "picture/planimetry", "practice/body", "server"],
  // Commands that only look at a photograph call `picture` directly: nothing is kept and nothing leaves.
  cli: [
    "errors",
    "geometry",
    "marker",
    "optics",
    "practice",
    "picture",
    "picture/outline",
    "desk",
    "simulator",
    "server",
    "web/build",
  ],
};

const pure = new Set(["errors", "marker", "optics", "geometry", "practice"]);
const impurities: readonly (readonly [RegExp, string])[] = [
  [/from "node:/, "imports from Node"],
  [/\bMath\.random\b/, "draws random numbers of its own (take a `random` parameter)"],
  [/\bDate\.now\b|\bnew Date\(\)|\bperformance\.now\b/, "reads the clock (take the time as a parameter)"],
];
const databaseOnly = /from "(kysely|node:sqlite)"/;

/** What runs in the browser knows the shape of the server's answers, none of its code. */
const valueOfServer = /import (?!type )[^;]*from "@samescale\/server"/;

/** Doors of a package beside its index: what the browser runs too. */
const doors = new Set(["picture/outline", "picture/planimetry", "practice/body", "web/build"]);

const importOf = /(?:\bfrom\s+|\bimport\s*\(?\s*)"([^"]+)"/g;
const broken: string[] = [];
for (const file of globSync("{packages,apps}/*/src/**/*.{ts,tsx}")) {
  const [, here = ""] = file.split("/");
  const source = readFileSync(file, "utf8");
  for (const [, target = ""] of source.matchAll(importOf)) {
    if (target.startsWith("@samescale/")) {
      const there = target.slice("@samescale/".length);
      if (there.includes("/") && !doors.has(there))
        broken.push(`${file}: imports ${target}, past the package's door (its index)`);
      else if (!(mayImport[here] ?? []).includes(there))
        broken.push(`${file}: ${here} may not import ${there}`);
    } else if (target.startsWith("..")) {
      const depth = file.split("/").length - 3;
      const ups = target.split("/").filter((part) => part === "..").length;
      if (ups >= depth) broken.push(`${file}: imports ${target}, out of its package's src`);
    }
  }
  if (pure.has(here)) {
    for (const [pattern, what] of impurities)
      if (pattern.test(source)) broken.push(`${file}: ${here} is pure but ${what}`);
  }
  if (here === "web" && valueOfServer.test(source))
    broken.push(`${file}: the browser takes types alone from the server (import type)`);
  if (here !== "record" && databaseOnly.test(source)) broken.push(`${file}: only record touches a database`);
}
for (const line of broken) process.stdout.write(`${line}\n`);
process.stdout.write(broken.length === 0 ? "all arrows hold\n" : `${broken.length} broken\n`);
process.exitCode = broken.length === 0 ? 0 : 1;
