import { useEffect, useState } from "react";

/** Eight screens a second: nobody sees a picture at that. */
const FLUNG_PX_PER_S = 6000;
/** Without a further move for so long, the page has come to rest. */
const RESTS_MS = 120;

/** Whether the page is flung past so fast that pictures need not be fetched for what only passes. */
export function useIsFlung(): boolean {
  const [isFlung, setFlung] = useState(false);
  useEffect(() => {
    let last = { px: scrollY, ms: performance.now() };
    let resting: ReturnType<typeof setTimeout>;
    const look = () => {
      const now = { px: scrollY, ms: performance.now() };
      const pxPerS = (1000 * Math.abs(now.px - last.px)) / Math.max(1, now.ms - last.ms);
      last = now;
      setFlung(pxPerS > FLUNG_PX_PER_S);
      clearTimeout(resting);
      resting = setTimeout(() => setFlung(false), RESTS_MS);
    };
    addEventListener("scroll", look, { passive: true });
    return () => {
      removeEventListener("scroll", look);
      clearTimeout(resting);
    };
  }, []);
  return isFlung;
}
