import { useEffect, useRef, useState } from "react";

/** What another tab of this browser does with the same picture. */
export interface OtherWork {
  readonly steps: number;
  /** ISO 8601, of this machine. */
  readonly at: string;
}

type Said =
  | { readonly kind: "who"; readonly key: string }
  | { readonly kind: "work"; readonly key: string; readonly work: OtherWork | null };

const CHANNEL = "samescale-outlines";

/**
 * Tells other tabs of the work on this picture, and hears of theirs.
 * @param own null: nothing was done here; told whenever it is another object
 * @returns newer work in another tab; null: there is none
 */
export function useOtherTabs(key: string, own: OtherWork | null): OtherWork | null {
  const [other, setOther] = useState<OtherWork | null>(null);
  const latest = useRef(own);
  latest.current = own;
  const channel = useRef<BroadcastChannel | null>(null);
  useEffect(() => {
    const open = new BroadcastChannel(CHANNEL);
    channel.current = open;
    open.onmessage = ({ data }: MessageEvent<Said>) => {
      if (data.key !== key) return;
      if (data.kind === "work") setOther(data.work);
      else if (latest.current) open.postMessage({ kind: "work", key, work: latest.current } satisfies Said);
    };
    open.postMessage({ kind: "who", key } satisfies Said);
    return () => {
      open.postMessage({ kind: "work", key, work: null } satisfies Said);
      open.close();
    };
  }, [key]);
  useEffect(() => {
    channel.current?.postMessage({ kind: "work", key, work: own } satisfies Said);
  }, [key, own]);
  const at = own?.at ?? null;
  return other && (at === null || other.at > at) ? other : null;
}
