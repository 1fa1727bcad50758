import type { ReleaseChoices } from "@samescale/server";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Link } from "../../../parts/link.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { words } from "../../../words/index.ts";
import { MaskPlace } from "../mask/mask-place.tsx";
import { Steps } from "./steps.tsx";
import { useChoice } from "./use-choice.ts";

const { choose: say, start } = words.release;

/** A release of one request: chosen step by step, or the masks of one of its pictures. */
export function Choose({ code }: { readonly code: string }) {
  const choices = useAnswer<ReleaseChoices>(`/release/requests/${encodeURIComponent(code)}`, [
    "request",
    "frame",
    "mask",
    "consent",
    "research",
    "access",
  ]);
  if (choices.data && choices.data.pictures.length > 0) return <Chosen of={choices.data} />;
  return (
    <PlaceFrame
      title={say.title(code)}
      acts={
        <Link to="/release" look="plain">
          {say.other}
        </Link>
      }
    >
      <Answered of={choices}>
        {() => (
          <Empty title={start.none}>
            <p>{start.noneHelp}</p>
            <Link to="/card" look="chief">
              {start.toCard}
            </Link>
          </Empty>
        )}
      </Answered>
    </PlaceFrame>
  );
}

function Chosen({ of }: { readonly of: ReleaseChoices }) {
  const [choice, change] = useChoice(of);
  const masked = of.pictures.find(({ frameId }) => frameId === choice.mask);
  if (masked?.original) {
    return (
      <MaskPlace
        key={masked.frameId}
        of={of}
        frameId={masked.frameId}
        name={masked.name}
        sha256={masked.original}
        scope={choice.use?.masksConfirmed ? choice.use.scope : "teaching"}
        onBack={() => change({ mask: "" }, true)}
      />
    );
  }
  return <Steps of={of} choice={choice} change={change} />;
}
