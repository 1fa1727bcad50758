import { readFileSync } from "node:fs";

/** Every generated file of the repository and how it is made. `npm run generate` writes them, the check compares. */
export const generated: readonly { readonly path: string; make(): string }[] = [
  { path: "THIRD-PARTY.md", make: thirdPartyNotices },
];

interface LockedPackage {
  readonly version?: string;
  readonly license?: string;
  readonly dev?: boolean;
  readonly link?: boolean;
  readonly optional?: boolean;
}

/** The libraries that come with the commands and the server, from the lock file. */
function thirdPartyNotices(): string {
  const lock = JSON.parse(readFileSync("package-lock.json", "utf8")) as {
    packages: Record<string, LockedPackage>;
  };
  const rows = Object.entries(lock.packages)
    .filter(([path, locked]) => path.includes("node_modules/") && !locked.dev && !locked.link)
    .map(([path, locked]) => {
      const name = path.slice(path.lastIndexOf("node_modules/") + "node_modules/".length);
      return `| ${name} | ${locked.version ?? ""} | ${locked.license ?? "see the package"} |`;
    });
  const unique = [...new Set(rows)].sort();
  return [
    "# Third-party packages",
    "",
    "Made from the lock file by `npm run generate`. npm fetches these beside Samescale; each carries its own licence",
    "text in its folder under `node_modules`. Packages that only the checks use are left out.",
    "",
    "`sharp` brings libvips (LGPL-3.0-or-later) as a separate shared library; `libraw-wasm` brings LibRaw, `heic-decode`",
    "brings libheif (LGPL-3.0) and `@opencvjs/node` brings OpenCV (Apache-2.0) as WebAssembly modules.",
    "",
    "| package | version | licence |",
    "| --- | --- | --- |",
    ...unique,
    "",
  ].join("\n");
}
