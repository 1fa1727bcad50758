import { existsSync, readFileSync } from "node:fs";
import { Command } from "commander";
import { commands } from "../apps/cli/src/commands.ts";
import { rightsTable } from "../packages/desk/src/access/rights.ts";

/** Every generated file of the repository and how it is made. `npm run generate` writes them, the check compares. */
export const generated: readonly { readonly path: string; make(): string | Promise<string> }[] = [
  { path: "THIRD-PARTY.md", make: thirdPartyNotices },
  { path: "docs/commands.md", make: commandPages },
  { path: "docs/people.md", make: () => withRights("docs/people.md") },
];

/** A page written by hand, with the table of rights as the code has it. */
function withRights(path: string): string {
  const page = readFileSync(path, "utf8");
  return page.replace(
    /(<!-- rights -->\n)[\s\S]*?(\n<!-- end of rights -->)/,
    (_, before: string, after: string) => `${before}${rightsTable()}${after}`,
  );
}

interface LockedPackage {
  readonly version?: string;
  readonly license?: string;
  readonly dev?: boolean;
  readonly link?: boolean;
  readonly optional?: boolean;
}

/** Packages that state no licence in their description but carry it as a file. */
const LICENCE_FILE_SAYS: Readonly<Record<string, string>> = { jstat: "MIT" };

/** The libraries that come with the commands and the server, from the lock file. */
function thirdPartyNotices(): string {
  const lock = JSON.parse(readFileSync("package-lock.json", "utf8")) as {
    packages: Record<string, LockedPackage>;
  };
  const rows = Object.entries(lock.packages)
    .filter(([path, locked]) => path.includes("node_modules/") && !locked.dev && !locked.link)
    .map(([path, locked]) => {
      const name = path.slice(path.lastIndexOf("node_modules/") + "node_modules/".length);
      return `| ${name} | ${locked.version ?? ""} | ${locked.license ?? LICENCE_FILE_SAYS[name] ?? "see the package"} |`;
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

/** What is typed and what appears, as apps/cli/test/transcripts.test.ts runs it; only transcripts that show the typing. */
function transcriptOf(name: string): string {
  const path = `apps/cli/test/transcripts/${name}.expected`;
  if (!existsSync(path)) return "";
  const shown = readFileSync(path, "utf8").trimEnd();
  return shown.startsWith("$ samescale") ? `\n\`\`\`\n${shown}\n\`\`\`\n` : "";
}

/** What every command takes, as the command itself tells it. */
async function commandPages(): Promise<string> {
  delete process.env.SAMESCALE_LIBRARY; // a default of this machine is nobody else's
  const pages: string[] = [];
  for (const [name, { summary, load }] of Object.entries(commands)) {
    const command = new Command(`samescale ${name}`).description(summary).configureHelp({ helpWidth: 100 });
    (await load()).configure(command, () => {});
    const helps = [command, ...command.commands].map((one) => one.helpInformation().trimEnd());
    pages.push(`## ${name}\n\n\`\`\`\n${helps.join("\n\n")}\n\`\`\`\n${transcriptOf(name)}`);
  }
  return [
    "# Commands",
    "",
    "Made from the commands themselves by `npm run generate`. Commands that take photographs print one JSON object per line with",
    "`--json`, in the order given and nothing else on standard output; progress goes to standard error. Exit 0: every input was",
    "answered, and not found with a reason is an answer. Exit 1: at least one input could not be read; its line carries",
    "`error: { code, message, help }` (docs/errors.md). Exit 2: the arguments cannot be understood. Exit 130: stopped with Ctrl-C.",
    "Pixels are those of the upright picture, origin at the outer corner of the top left pixel (docs/frames.md). Measured values are",
    "`{ value, u95 }`, `u95` being the half-width of the 95 % interval. The shapes of the answers are in",
    "`packages/picture/src/answers.ts`; fields may be added, none may go.",
    "",
    ...pages,
  ].join("\n");
}
