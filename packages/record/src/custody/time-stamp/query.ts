import { createHash } from "node:crypto";

/** SHA-256, as algorithms are named in certificates. */
export const SHA256 = "2.16.840.1.101.3.4.2.1";

/**
 * What a time-stamping authority is asked: the SHA-256 of what is stamped, and nothing of its content. DER, as a `.tsq`
 * file holds it.
 *
 * @param nonce a number that the reply must repeat, so that no older reply passes for it; null: none
 * @source RFC3161 section 2.4.1
 */
export async function timeStampQuery(stamped: Uint8Array, nonce: Uint8Array | null): Promise<Uint8Array> {
  const [asn1js, pkijs] = await Promise.all([import("asn1js"), import("pkijs")]);
  const query = new pkijs.TimeStampReq({
    version: 1,
    messageImprint: new pkijs.MessageImprint({
      hashAlgorithm: new pkijs.AlgorithmIdentifier({
        algorithmId: SHA256,
        algorithmParams: new asn1js.Null(),
      }),
      hashedMessage: new asn1js.OctetString({ valueHex: createHash("sha256").update(stamped).digest() }),
    }),
    ...(nonce ? { nonce: new asn1js.Integer({ valueHex: positive(nonce) }) } : {}),
    certReq: true,
  });
  return new Uint8Array(query.toSchema().toBER(false));
}

/** The nonce of a query, to be looked for in the reply; null when it is no query, undefined when it has none. */
export async function nonceOf(query: Uint8Array): Promise<Uint8Array | null | undefined> {
  const pkijs = await import("pkijs");
  try {
    const { nonce } = pkijs.TimeStampReq.fromBER(Uint8Array.from(query));
    return nonce?.valueBlock.valueHexView;
  } catch {
    return null;
  }
}

/** A first bit that is set would make it a negative number; a first byte of zeros would not be DER. */
function positive(nonce: Uint8Array): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(nonce, (byte, at) => (at === 0 ? (byte & 0x7f) | 0x40 : byte));
}
