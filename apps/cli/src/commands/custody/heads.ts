import { type Desk, type SignedHead, signatures, signedHeadFile } from "@samescale/desk";
import { CommandFailure } from "../../frame/failure.ts";
import { say, wholeNumber, writeNewFolder } from "./new-folder.ts";

interface HeadOptions {
  readonly json?: true;
  readonly size?: string;
  readonly to?: string;
}

/** The newest signed head, or that of a size: printed, or written with its time stamps. */
export async function sayHead(desk: Desk, { json, size, to }: HeadOptions): Promise<void> {
  const { keys, heads, stamps } = await signatures(desk);
  const wanted = size === undefined ? null : wholeNumber("--size", size);
  const head = wanted === null ? heads.at(-1) : heads.find((one) => one.size === wanted);
  const key = keys.find(({ id }) => id === head?.keyId);
  if (head === undefined || key === undefined) {
    throw CommandFailure.badArguments(
      wanted === null ? "Nothing is signed in this library yet" : `There is no signed head ${wanted}`,
      "Type samescale custody sign, or choose a size that samescale custody keys lists.",
    );
  }
  const text = signedHeadFile(head, key.pem);
  const replies = stamps.filter((stamp) => stamp.size === head.size);
  if (to !== undefined) {
    const files = replies.map(({ reply }, at) => ({ name: `time-stamp-${at + 1}.tsr`, content: reply }));
    await writeNewFolder(to, [{ name: "signed-head.txt", content: text }, ...files]);
  }
  say(json, { head, publicKey: key.pem, timeStamps: replies.length, ...(to ? { to } : {}) }, text.trimEnd());
}

/** Signs the present head. */
export async function signNow(desk: Desk, { json }: { readonly json?: true }): Promise<void> {
  saySigned(await desk.library.signHead(), json);
}

export function saySigned(head: SignedHead, json: true | undefined): void {
  const human =
    `Signed: ${head.size} entries, root ${head.root}, on ${head.time} by key ${head.keyId}.\n` +
    "To keep it elsewhere: samescale custody head";
  say(json, { head }, human);
}

/** Every key with its time and endorsement, and the sizes that were signed. */
export async function sayKeys(desk: Desk, { json }: { readonly json?: true }): Promise<void> {
  const { keys, heads, stamps } = await signatures(desk);
  const lines = keys.map((key) => {
    const by = key.endorsedBy === null ? "endorsed by no key" : `endorsed by ${key.endorsedBy}`;
    const until = key.retiredAt === null ? "signs now" : `until ${key.retiredAt}`;
    return `${key.id}\n  since ${key.madeAt}, ${until}, ${by}\n${key.pem.trimEnd()}`;
  });
  const sizes = heads.map(({ size }) => size);
  const said = `Signed heads: ${sizes.join(", ") || "none"}. Time stamps: ${stamps.length}.`;
  const where = `The private key is looked for at ${desk.library.keyFile}`;
  say(
    json,
    { keys, signedSizes: sizes, timeStamps: stamps.length, keyFile: desk.library.keyFile },
    [...lines, said, where].join("\n"),
  );
}
