import { type BagFile, makeBag } from "@samescale/exchange";
import { jsonText } from "../../../act/json.ts";
import type { FormContext, OutgoingOriginal, ReleaseForm } from "../../form.ts";
import { CHECK_THIS } from "./check-this.ts";
import { derivativesOf } from "./derivatives.ts";
import { type HeadOfBag, headsOfBag, keyFiles, lineName, logExtract } from "./log-extract.ts";
import { rowsOf, sealedFiles } from "./rows.ts";

/**
 * A bag that a third party checks with sha256sum and openssl alone: originals byte for byte, what was made from them and how,
 * the log's lines about them with their way to a signed head, and a page that says how to check it (docs/formats.md).
 */
export const evidenceForm: ReleaseForm = {
  name: "evidence",
  scopes: ["evidence"],
  async *files(context) {
    const ofPath = new Map<string, { readonly frameId: string; readonly original: string }>();
    const payload = payloadOf(context, ofPath);
    const tagFiles = () => [{ path: "CHECK-THIS.txt", bytes: Buffer.from(CHECK_THIS) }];
    for await (const { path, bytes } of makeBag({ payload, tagFiles, info: infoOf(context) })) {
      const shown = ofPath.get(path);
      yield { name: path, bytes, frameId: shown?.frameId ?? null, original: shown?.original ?? null };
    }
  },
};

async function* payloadOf(
  context: FormContext,
  ofPath: Map<string, { readonly frameId: string; readonly original: string }>,
): AsyncGenerator<BagFile> {
  const { evidence, frames, request } = context;
  if (evidence === null) return;
  const frameIds = frames.map(({ frameId }) => frameId);
  const originals = frames.flatMap((frame) => frame.originals.map((original) => ({ frame, original })));
  const hashes = new Set(originals.map(({ original }) => original.sha256));

  for (const [i, { frame, original }] of originals.entries()) {
    const path = `originals/${String(i + 1).padStart(4, "0")}-${plain(original.name)}`;
    ofPath.set(`data/${path}`, { frameId: frame.frameId, original: original.sha256 });
    yield { path, bytes: original.open() };
  }
  const made = await derivativesOf(evidence, frameIds, request.id, hashes);
  yield* made.files;

  const rows = await rowsOf(evidence, {
    frameIds,
    originals: [...hashes],
    requestId: request.id,
    consentIds: context.consents.map(({ id }) => id),
  });
  const names = new Set([...rows.map(({ name }) => name), ...made.names]);
  const present = await evidence.signHead();
  const extract = await logExtract(evidence, names, present.size);
  yield* sealedFiles(rows, extract.lines);
  for (const { sequence, line } of extract.lines) {
    yield { path: `log/lines/${lineName(sequence)}`, bytes: Buffer.from(line) };
  }
  for (const head of await headsOfBag(evidence, present, extract)) yield* filesOfHead(head);
  for (const [name, bytes] of await keyFiles(evidence)) yield { path: `log/keys/${name}`, bytes };
  yield {
    path: "receipt.json",
    bytes: Buffer.from(
      `${receiptOf(
        context,
        originals.map(({ original }) => original),
        extract.leftOut,
      )}\n`,
    ),
  };
}

function* filesOfHead({ head, text, signature, timeStamp, proofs }: HeadOfBag): Generator<BagFile> {
  const folder = `log/heads/${lineName(head.size)}`;
  yield { path: `${folder}/head.txt`, bytes: Buffer.from(text) };
  yield { path: `${folder}/head.sig`, bytes: signature };
  yield { path: `${folder}/proofs.txt`, bytes: Buffer.from(proofs) };
  if (timeStamp !== null) yield { path: `${folder}/time-stamp.tsr`, bytes: timeStamp };
}

const infoOf = (context: FormContext): (readonly [string, string])[] => [
  ["Bagging-Date", context.now.slice(0, 10)],
  ["External-Identifier", context.request.code ?? context.releaseId],
  [
    "External-Description",
    "Photographs as evidence, with what was made from them and the log that tells of them",
  ],
  ["Bag-Software-Agent", "Samescale"],
];

/** Whom it went to and on what it rests: the same that the record keeps of the release. */
const receiptOf = (context: FormContext, originals: readonly OutgoingOriginal[], leftOut: number): string =>
  jsonText({
    release: context.releaseId,
    to: context.to,
    purpose: context.purpose,
    scope: context.scope,
    request: context.request.code,
    patient: context.patient && {
      number: context.patient.number,
      authority: context.patient.authority,
      name: context.patient.name,
      birthDate: context.patient.birthDate,
    },
    consents: context.consents.map(({ id, scope, capacity, givenAt }) => ({ id, scope, capacity, givenAt })),
    releasedBy: context.actor.name,
    madeAt: context.now,
    mayBeUsedUntil: context.expiresOn,
    originals: originals.map(({ name, sha256, bytes }) => ({ name, sha256, bytes })),
    linesLeftOut: {
      number: leftOut,
      because:
        "They are about somebody else and touch one of these rows as well; the department can show them.",
    },
  });

/** A camera's name with nothing in it that means something to a shell. */
function plain(name: string): string {
  const safe = name.normalize("NFKD").replace(/[^A-Za-z0-9._-]+/g, "_");
  return safe.slice(-80).replace(/^[._-]+/, "") || "file";
}
