import type { Job, ProposedMask, ReleaseChoices } from "@samescale/server";
import { useEffect, useRef, useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { Button } from "../../../parts/button.tsx";
import { JobProgress } from "../../../parts/job-progress.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { words } from "../../../words/index.ts";
import { MaskWorkplace } from "./mask-workplace.tsx";
import { beginning } from "./use-mask.ts";

const { mask: say } = words.release;

export interface MaskPlaceProps {
  readonly of: ReleaseChoices;
  readonly frameId: string;
  readonly name: string;
  readonly sha256: string;
  /** How it is shown as it will be: the use that is chosen. */
  readonly scope: string;
  readonly onBack: () => void;
}

/** What must not be seen in one picture: first something looks, then a person does. */
export function MaskPlace(props: MaskPlaceProps) {
  const { frameId, name, of, onBack } = props;
  const [job, setJob] = useState<string | null>(null);
  const [seen, setSeen] = useState<ProposedMask | null>(null);
  const [thrown, setThrown] = useState<unknown>(null);
  const hasBegun = useRef(false);
  useEffect(() => {
    // Looking is written down: once for each time that the picture is opened.
    if (hasBegun.current) return;
    hasBegun.current = true;
    ask<{ job: string }>("POST", `/release/frames/${frameId}/propose`, {}).then(
      (begun) => setJob(begun.job),
      setThrown,
    );
  }, [frameId]);
  if (seen) {
    const confirmed = of.pictures.find((picture) => picture.frameId === frameId)?.mask?.areas ?? null;
    return <MaskWorkplace {...props} seen={seen} first={beginning(seen, confirmed)} />;
  }
  return (
    <PlaceFrame title={say.title(name)} acts={<Button onPress={onBack}>{say.back}</Button>}>
      {thrown !== null && <Problem report={reportFrom(thrown)} />}
      {job && (
        <JobProgress
          id={job}
          onEnd={(ended: Job) => ended.state === "done" && setSeen(ended.value as ProposedMask)}
        />
      )}
      {!job && thrown === null && (
        <p role="status" className="quiet">
          {say.look}
        </p>
      )}
    </PlaceFrame>
  );
}
