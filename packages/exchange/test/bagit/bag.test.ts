import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { after, before, test } from "node:test";
import fc from "fast-check";
import { bagFolder } from "../../src/bagit/bag-folder.ts";
import { checkBag } from "../../src/bagit/check-bag.ts";
import { type BagFile, makeBag } from "../../src/bagit/make-bag.ts";
import { manifestEntries, manifestText } from "../../src/bagit/manifest.ts";

const reference = new URL("../../../../../shared/reference/bagit-basic.json", import.meta.url);
const skip = existsSync(reference) ? false : "shared/reference is not beside this checkout";

let folder = "";
before(() => {
  folder = mkdtempSync(join(tmpdir(), "samescale-bag-"));
});
after(() => rmSync(folder, { recursive: true }));

let made = 0;
function unpacked(files: Readonly<Record<string, string | Uint8Array>>): string {
  made += 1;
  const bag = join(folder, String(made));
  for (const [path, content] of Object.entries(files)) {
    mkdirSync(dirname(join(bag, path)), { recursive: true });
    writeFileSync(join(bag, path), content);
  }
  return bag;
}

async function bagOf(payload: readonly BagFile[], tagFiles: readonly BagFile[] = []) {
  const files: Record<string, Uint8Array> = {};
  const info = [["Source-Organization", "an invented infirmary"]] as const;
  for await (const { path, bytes } of makeBag({ payload, tagFiles: () => tagFiles, info })) {
    const parts: Uint8Array[] = [];
    if (bytes instanceof Uint8Array) parts.push(bytes);
    else for await (const part of bytes) parts.push(part);
    files[path] = Buffer.concat(parts);
  }
  return files;
}

const hello = { path: "hello.txt", bytes: Buffer.from("hello\n") };
const basic = (): Record<string, string> =>
  (JSON.parse(readFileSync(reference, "utf8")) as { files: Record<string, string> }).files;

test("the bag of the conformance suite is valid, and ours of the same file agrees byte for byte", {
  skip,
}, async () => {
  const files = basic();
  assert.deepEqual(await checkBag(bagFolder(unpacked(files))), []);
  const ours = await bagOf([hello]);
  for (const path of ["bagit.txt", "data/hello.txt", "manifest-sha512.txt"]) {
    assert.equal(Buffer.from(ours[path]!).toString(), files[path], path);
  }
  // Ours lists more tag files; the two that the suite's bag has, it lists the same.
  const tags = Buffer.from(ours["tagmanifest-sha512.txt"]!).toString();
  for (const line of files["tagmanifest-sha512.txt"]!.trim().split("\n"))
    assert.ok(tags.includes(`${line}\n`));
  assert.match(Buffer.from(ours["bag-info.txt"]!).toString(), /^Payload-Oxum: 6\.1$/m);
});

test("what the conformance suite calls invalid is refused, each for its reason", { skip }, async () => {
  const files = basic();
  const hash = files["manifest-sha512.txt"]!.split(" ")[0]!;
  const cases: readonly (readonly [string, Record<string, string | Uint8Array>, RegExp])[] = [
    ["no bagit.txt", without(files, "bagit.txt"), /bagit\.txt is missing/],
    ["byte order mark", { ...files, "bagit.txt": `\uFEFF${files["bagit.txt"]}` }, /byte order mark/],
    ["wrong version", { ...files, "bagit.txt": files["bagit.txt"]!.replace("1.0", "2.0") }, /version 2\.0/],
    [
      "white space",
      { ...files, "bagit.txt": files["bagit.txt"]!.replace("Version:", "Version :") },
      /not the two lines/,
    ],
    ["a line more", { ...files, "bagit.txt": `${files["bagit.txt"]}more: 1\n` }, /not the two lines/],
    ["corrupt data", { ...files, "data/hello.txt": "hallo\n" }, /data\/hello\.txt is not what sha512/],
    [
      "corrupt tag file",
      { ...files, "bagit.txt": files["bagit.txt"]!.replace("\n", "\r\n") },
      /bagit\.txt is not what/,
    ],
    ["extra file", { ...files, "data/more.txt": "x" }, /data\/more\.txt is not listed/],
    ["missing file", without(files, "data/hello.txt"), /data\/hello\.txt is listed and missing/],
    ["no manifest", without(files, "manifest-sha512.txt"), /manifest-sha256\.txt is missing/],
    ["not in every manifest", { ...files, "manifest-sha256.txt": "" }, /not listed in manifest-sha256/],
    [
      "same file twice",
      { ...files, "manifest-sha512.txt": files["manifest-sha512.txt"]!.repeat(2) },
      /line 2: .*twice/,
    ],
    [
      "bad hex",
      { ...files, "manifest-sha512.txt": `${"g".repeat(128)}  data/hello.txt\n` },
      /line 1: expected a hash/,
    ],
    [
      "short hash",
      { ...files, "manifest-sha512.txt": `${hash.slice(2)}  data/hello.txt\n` },
      /no sha512 in hex/,
    ],
    [
      "leading space",
      { ...files, "manifest-sha512.txt": ` ${files["manifest-sha512.txt"]}` },
      /line 1: expected/,
    ],
    ["to be fetched", { ...files, "fetch.txt": "http://example.org/a - data/a\n" }, /fetch\.txt/],
    ["wrong sum", { ...files, "bag-info.txt": "Payload-Oxum: 7.1\n" }, /Payload-Oxum is 7\.1, counted 6\.1/],
    ...[
      "../escaped",
      "data/../../escaped",
      "/etc/passwd",
      "~/escaped",
      "data\\x",
      "C:/x",
      "elsewhere/x",
      "data//x",
    ].map(
      (path) =>
        [
          path,
          { ...files, "manifest-sha512.txt": `${files["manifest-sha512.txt"]}${hash}  ${path}\n` },
          /line 2: .*(leaves the bag|does not lie in data)/,
        ] as const,
    ),
  ];
  for (const [name, changed, says] of cases) {
    const faults = await checkBag(bagFolder(unpacked(changed)));
    const text = faults.map((fault) => `${fault.path} ${fault.says}`).join("\n");
    assert.match(text, says, `${name}: ${text}`);
  }
});

const without = (files: Record<string, string>, path: string): Record<string, string> =>
  Object.fromEntries(Object.entries(files).filter(([name]) => name !== path));

test("a link in a bag is not followed and not accepted", async () => {
  const bag = unpacked(await bagOf([hello]));
  symlinkSync("/etc/hostname", join(bag, "data/linked"));
  assert.deepEqual(await checkBag(bagFolder(bag)), [
    { path: "data/linked", says: "is neither a file nor a folder" },
  ]);
});

test("one changed bit in any file of a bag is named", async () => {
  const files = await bagOf(
    [hello, { path: "a/b c.bin", bytes: Buffer.alloc(300, 7) }],
    [{ path: "CHECK.txt", bytes: Buffer.from("read me") }],
  );
  for (const path of Object.keys(files)) {
    const changed = Buffer.from(files[path]!);
    changed[Math.floor(changed.length / 2)]! ^= 1;
    const faults = await checkBag(bagFolder(unpacked({ ...files, [path]: changed })));
    assert.notEqual(faults.length, 0, path);
  }
});

test("any path goes through a manifest and back (CR, LF and % as RFC 8493 2.1.3 writes them)", () => {
  fc.assert(
    fc.property(
      fc.array(fc.string({ unit: "grapheme", minLength: 1 }), { minLength: 1, maxLength: 3 }),
      (parts) => {
        const path = ["data", ...parts.map((part) => `n${part.replace(/[/\\\0]/g, "%")}%0a\r\n`)].join("/");
        const text = manifestText([{ path, hash: "ab".repeat(32) }]);
        assert.equal(text.split(/[\r\n]/).length, 2);
        const { entries, faults } = manifestEntries(text, "manifest-sha256.txt", "sha256", "payload");
        assert.deepEqual(faults, []);
        assert.equal(entries[0]?.path, path);
      },
    ),
    { numRuns: 300 },
  );
  assert.match(manifestText([{ path: "data/a%b\r\nc", hash: "00" }]), /data\/a%25b%0D%0Ac\n$/);
});

test("a payload that would leave the bag, stands twice or was not read makes no bag", async () => {
  const made = (payload: readonly BagFile[]) => bagOf(payload);
  await assert.rejects(made([{ ...hello, path: "../hello.txt" }]), { code: "BAG_NOT_MADE" });
  await assert.rejects(made([hello, hello]), { code: "BAG_NOT_MADE" });
  const unread = makeBag({
    payload: [{ path: "a", bytes: (async function* () {})() }],
    tagFiles: () => [],
    info: [],
  });
  await unread.next();
  await assert.rejects(unread.next(), { code: "BAG_NOT_MADE" });
});

const hasSha256sum = spawnSync("sha256sum", ["--version"]).error === undefined;
test("sha256sum and sha512sum check our bag", {
  skip: hasSha256sum ? false : "sha256sum is not on this machine",
}, async () => {
  const streamed = (async function* () {
    yield Buffer.from("in ");
    yield Buffer.from("parts");
  })();
  const bag = unpacked(await bagOf([hello, { path: "streamed.txt", bytes: streamed }]));
  for (const algorithm of ["sha256", "sha512"]) {
    for (const manifest of [`manifest-${algorithm}.txt`, `tagmanifest-${algorithm}.txt`]) {
      execFileSync(`${algorithm}sum`, ["--check", "--strict", "--quiet", manifest], { cwd: bag });
    }
  }
  assert.deepEqual(await checkBag(bagFolder(bag)), []);
});
