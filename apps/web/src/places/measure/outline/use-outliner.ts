import type { ErrorReport } from "@samescale/errors";
import type { OutlineStep } from "@samescale/picture/outline";
import type { OwnRepeats, PartSaid, ScaleFound } from "@samescale/picture/planimetry";
import { useEffect, useRef, useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import type { Asked, Outlined } from "./messages.ts";

export interface Outliner {
  /** The answer to the newest steps, or to those before while it is worked on; null: nothing was asked yet. */
  readonly outlined: Outlined | null;
  readonly isWorking: boolean;
  /** Whether the picture is here: until then nothing can be outlined. */
  readonly isReady: boolean;
  readonly problem: ErrorReport | null;
  again(): void;
}

interface Wanted {
  readonly steps: readonly OutlineStep[];
  readonly reading: ScaleFound | null;
  readonly said: PartSaid;
  readonly ownRepeats: OwnRepeats | null;
}

/** Outlines one picture in a thread of its own. Of steps that come faster than answers the newest count. */
export function useOutliner(frameId: string, isOn: boolean, wanted: Wanted): Outliner {
  const [worker, setWorker] = useState<Worker | null>(null);
  const [problem, setProblem] = useState<ErrorReport | null>(null);
  const [tries, setTries] = useState(0);
  const [outlined, setOutlined] = useState<Outlined | null>(null);
  const [asked, setAsked] = useState(0);
  const lastId = useRef(0);
  const busy = useRef(false);
  const waiting = useRef<Asked | null>(null);

  // biome-ignore lint/correctness/useExhaustiveDependencies: another try fetches the picture anew.
  useEffect(() => {
    if (!isOn) return;
    const own = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
    const stop = new AbortController();
    own.onmessage = ({ data }: MessageEvent<Outlined>) => {
      busy.current = false;
      setOutlined(data);
      const next = waiting.current;
      waiting.current = null;
      if (next) send(own, next);
    };
    const send = (to: Worker, message: Asked) => {
      busy.current = true;
      to.postMessage(message);
    };
    void ask<ArrayBuffer>("GET", `/measure/frames/${frameId}/pixels`, undefined, stop.signal)
      .then((bytes) => {
        own.postMessage({ kind: "picture", bytes } satisfies Asked, [bytes]);
        setProblem(null);
        setWorker(own);
      })
      .catch((thrown) => stop.signal.aborted || setProblem(reportFrom(thrown)));
    return () => {
      stop.abort();
      own.terminate();
      busy.current = false;
      waiting.current = null;
      setWorker(null);
    };
  }, [frameId, isOn, tries]);

  const { steps, reading, said, ownRepeats } = wanted;
  useEffect(() => {
    if (!worker) return;
    const id = ++lastId.current;
    const message: Asked = { kind: "steps", id, steps, reading, said, ownRepeats };
    setAsked(id);
    if (busy.current) waiting.current = message;
    else {
      busy.current = true;
      worker.postMessage(message);
    }
  }, [worker, steps, reading, said, ownRepeats]);

  return {
    outlined: steps.length === 0 ? null : outlined,
    isWorking: steps.length > 0 && (outlined?.id ?? 0) < asked,
    isReady: worker !== null,
    problem,
    again: () => setTries((n) => n + 1),
  };
}
