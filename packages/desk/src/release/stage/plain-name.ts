const PART = /^[A-Za-z0-9_][A-Za-z0-9._-]{0,119}$/;
/** Names that some systems keep for devices, whatever follows the full stop. */
const DEVICE = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;
const MOST_PARTS = 8;

/** One name of a file or folder that means the same on every system and leads nowhere else. */
export const isPlainName = (name: string): boolean =>
  PART.test(name) && !name.endsWith(".") && !DEVICE.test(name);

/** Plain names with `/` between them. */
export function isPlainPath(path: string): boolean {
  const parts = path.split("/");
  return parts.length <= MOST_PARTS && parts.every(isPlainName);
}
