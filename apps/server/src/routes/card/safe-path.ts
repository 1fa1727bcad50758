const MOST_FOLDERS = 8;
const MOST_BYTES = 120;
/** What steers a terminal, hides, or means something to a file system. */
const UNSAFE = /[\p{Cc}\p{Cf}\p{Cs}\u2028\u2029<>:"|?*]/gu;

/**
 * The path under which a dropped file waits, from the one that the browser gave: inside its folder whatever was given. Only the
 * last folders of a deep path are kept, names are cut with their ending kept.
 */
export function safePath(given: string): string {
  const names = given
    .split(/[/\\]/)
    .map(safeName)
    .filter((name) => name !== "");
  return names.slice(-MOST_FOLDERS - 1).join("/") || "nameless";
}

function safeName(given: string): string {
  const name = given.normalize("NFC").replace(UNSAFE, "_").trim();
  if (name === "" || /^\.+$/.test(name)) return "";
  if (Buffer.byteLength(name) <= MOST_BYTES) return name;
  const ending = /\.[A-Za-z0-9]{1,8}$/.exec(name)?.[0] ?? "";
  let stem = name.slice(0, name.length - ending.length);
  while (Buffer.byteLength(stem + ending) > MOST_BYTES) stem = [...stem].slice(0, -1).join("");
  return stem + ending;
}
