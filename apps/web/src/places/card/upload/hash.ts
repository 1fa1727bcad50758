/** A browser hashes a file as a whole, in memory; a larger one is not compared, and that is said. */
const MOST_BYTES = 1_000_000_000;

/** SHA-256 in hexadecimal; null: too large, or this page is not served over a safe connection. */
export async function sha256Of(file: File): Promise<string | null> {
  if (file.size > MOST_BYTES || !globalThis.crypto?.subtle) return null;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", await file.arrayBuffer()));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
