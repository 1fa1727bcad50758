import type { BedsideNow } from "@samescale/server";
import { useEffect, useState } from "react";
import { ask } from "../../api/client.ts";
import { useAct, useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Problem } from "../../parts/problem.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import { BeginSession } from "./begin-session.tsx";
import { EndedSession, type Outcome } from "./ended-session.tsx";
import { LiveSession } from "./live-session.tsx";

/** One request's session, in whichever state it is. Every device that opens the address shows the same. */
export function RequestAtBedside({ code }: { readonly code: string }) {
  const path = `/bedside/${encodeURIComponent(code)}`;
  const now = useAnswer<BedsideNow>(path, ["bedside", "plan", "request"]);
  const [ended, setEnded] = useState<Outcome | null>(null);
  const goOn = useAct(() => ask("POST", `${path}/go-on`, {}));
  const isResting = now.data?.state === "resting";
  // Began, and the server was started anew since: nobody has to press anything with gloves on.
  // biome-ignore lint/correctness/useExhaustiveDependencies: once for each time that it rests.
  useEffect(() => {
    if (isResting) goOn.mutate(undefined);
  }, [isResting]);
  const title = `${words.shell.names.bedside} ${code}`;
  if (ended) {
    return (
      <PlaceFrame title={title}>
        <EndedSession outcome={ended} onGoOn={() => setEnded(null)} path={path} />
      </PlaceFrame>
    );
  }
  if (!now.data) {
    return (
      <PlaceFrame title={title}>
        <Answered of={now}>{() => null}</Answered>
      </PlaceFrame>
    );
  }
  const { state, problem } = now.data;
  if (state === "not-begun") {
    return (
      <PlaceFrame title={title}>
        <BeginSession now={now.data} path={path} />
      </PlaceFrame>
    );
  }
  if (state === "resting" || (problem && now.data.frames.length === 0)) {
    return (
      <PlaceFrame title={title}>
        {problem ? (
          <>
            <h2>{words.bedside.failed}</h2>
            <Problem report={problem} again={() => goOn.mutate(undefined)} />
          </>
        ) : (
          <p role="status">{words.bedside.resting}</p>
        )}
        <BeginSession now={now.data} path={path} />
      </PlaceFrame>
    );
  }
  return <LiveSession now={now.data} path={path} onEnd={setEnded} />;
}
