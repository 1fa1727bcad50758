/**
 * Remembers what was made lately, up to so many bytes, the least lately used is forgotten first. Asked for twice at once it
 * is made once. In memory alone: pictures of patients are not left on a disk for this.
 */
export function keepLately(mostBytes: number) {
  const kept = new Map<string, Promise<Uint8Array>>();
  let bytes = 0;
  return async (key: string, make: () => Promise<Uint8Array>): Promise<Uint8Array> => {
    const known = kept.get(key);
    if (known) {
      kept.delete(key);
      kept.set(key, known);
      return await known;
    }
    const making = make();
    kept.set(key, making);
    try {
      const made = await making;
      bytes += made.length;
      for (const [old, value] of kept) {
        if (bytes <= mostBytes || old === key) break;
        kept.delete(old);
        bytes -= (await value).length;
      }
      return made;
    } catch (thrown) {
      kept.delete(key);
      throw thrown;
    }
  };
}
