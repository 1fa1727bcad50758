import { z } from "zod";

/**
 * The time-stamping authority (RFC 3161) that may be asked over HTTP, inside the building: nothing is asked for unless
 * the practice names one, and then nothing but the hash of a signed head is sent.
 */
export const timeStampSchema = z.strictObject({
  url: z.url({ protocol: /^https?$/, error: "expected an address that begins with http:// or https://" }),
});
