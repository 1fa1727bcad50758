/** Endings that programs give a file while they are still writing it; it gets its own name when it is whole. */
const UNFINISHED =
  /\.(tmp|temp|te?mp\d+|part|partial|filepart|crdownload|download|upload|uploading|incomplete|unfinished|writing|new|swp)$/i;

/** Names under which a file is not yet what it will be: hidden (`.x`), `~x`, `x~`, `x.part` and their like. */
export const isTemporaryName = (name: string): boolean =>
  name.startsWith(".") || name.startsWith("~") || name.endsWith("~") || UNFINISHED.test(name);
