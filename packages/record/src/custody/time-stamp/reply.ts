import { createHash } from "node:crypto";
import { SamescaleError } from "@samescale/errors";
import { SHA256 } from "./query.ts";

/** What an authority stands for: the stamped bytes were there at that time. */
export interface TimeStamped {
  /** ISO 8601 in UTC, by the authority's clock. */
  readonly time: string;
  /** The authority's number for this stamp, in hexadecimal. */
  readonly serial: string;
  /** Who signed it, as its certificate says; null when the reply does not hold the certificate. */
  readonly authority: string | null;
}

const TST_INFO = "1.2.840.113549.1.9.16.1.4";
const COMMON_NAME = "2.5.4.3";

/** Generous: replies with a chain of certificates have about 6 kB. */
export const LONGEST_REPLY_BYTES = 200_000;

/**
 * Reads a reply (`.tsr`) and checks it as far as that goes without trusting anybody: it was granted, it is about these
 * bytes and answers this query, and its signature fits the certificate in it. Whether that certificate
 * deserves trust says `openssl ts -verify` with the authority's root (docs/custody.md).
 *
 * @param nonce of the query; null where the query is not at hand
 * @throws SamescaleError TIME_STAMP_REFUSED
 * @source RFC3161 section 2.4.2
 */
export async function readTimeStamp(
  reply: Uint8Array,
  stamped: Uint8Array,
  nonce: Uint8Array | null,
): Promise<TimeStamped> {
  if (reply.length > LONGEST_REPLY_BYTES) throw refused("it is too long to be one");
  const parsed = await parse(reply);
  const { info, signed } = parsed;
  const { hashAlgorithm, hashedMessage } = info.messageImprint;
  const imprint = createHash("sha256").update(stamped).digest();
  if (
    hashAlgorithm.algorithmId !== SHA256 ||
    !imprint.equals(Buffer.from(hashedMessage.valueBlock.valueHexView))
  ) {
    throw refused("it is about something else: its imprint is not that of this head");
  }
  if (nonce !== null && !isSame(info.nonce?.valueBlock.valueHexView, nonce)) {
    throw refused("it answers another query: its nonce is not the one that was asked with");
  }
  const authority = await signerOf(signed, stamped);
  const serial = Buffer.from(info.serialNumber.valueBlock.valueHexView).toString("hex");
  return { time: info.genTime.toISOString(), serial, authority };
}

async function parse(reply: Uint8Array) {
  const [asn1js, pkijs] = await Promise.all([import("asn1js"), import("pkijs")]);
  const { offset, result } = asn1js.fromBER(reply);
  if (offset !== reply.length) throw refused("it is not one reply: cut short, or something follows it");
  let response: InstanceType<typeof pkijs.TimeStampResp>;
  try {
    response = new pkijs.TimeStampResp({ schema: result });
  } catch {
    throw refused("it is not the reply of a time-stamping authority");
  }
  const { status, statusStrings } = response.status;
  if (status !== 0 && status !== 1) {
    const said = (statusStrings ?? []).map((text) => text.valueBlock.value).join("; ");
    throw refused(`the authority did not grant it: status ${status}${said && `, ${said}`}`);
  }
  try {
    const signed = new pkijs.SignedData({ schema: response.timeStampToken?.content });
    const content = signed.encapContentInfo.eContent?.getValue();
    if (signed.encapContentInfo.eContentType === TST_INFO && content !== undefined) {
      return { signed, info: pkijs.TSTInfo.fromBER(content) };
    }
  } catch {
    // told below
  }
  throw refused("it holds no time stamp");
}

type Signed = Awaited<ReturnType<typeof parse>>["signed"];

async function signerOf(signed: Signed, stamped: Uint8Array): Promise<string | null> {
  if ((signed.certificates ?? []).length === 0) return null;
  const data = Uint8Array.from(stamped).buffer;
  const checked = await signed
    .verify({ signer: 0, data, checkChain: false, extendedMode: true })
    .catch((thrown: unknown) => thrown as { signatureVerified?: boolean | null; signerCertificate?: null });
  if (checked.signatureVerified !== true) throw refused("its signature does not fit the certificate in it");
  const names = checked.signerCertificate?.subject.typesAndValues ?? [];
  const name = names.find(({ type }) => type === COMMON_NAME) ?? names[0];
  return name === undefined ? null : String(name.value.valueBlock.value);
}

const isSame = (found: Uint8Array | undefined, wanted: Uint8Array): boolean =>
  found !== undefined && Buffer.compare(found, wanted) === 0;

const refused = (why: string) =>
  new SamescaleError(
    "TIME_STAMP_REFUSED",
    `The time stamp was not kept: ${why}`,
    "Ask the authority anew with the query that `samescale custody stamp` writes, and give its reply as it came.",
  );
