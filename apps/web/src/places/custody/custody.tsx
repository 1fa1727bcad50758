import { useRoute } from "wouter";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import css from "./custody.module.css";
import { FindFrame } from "./find-frame.tsx";
import { FrameStoryPage } from "./frame/frame-story.tsx";
import { LogList } from "./log/log-list.tsx";
import { SignedHeads } from "./signed/signed-heads.tsx";
import { Stamps } from "./signed/stamps.tsx";
import { Verify } from "./verify/verify.tsx";

/** What was done, by whom, and whether all of it still holds. */
export default function Custody() {
  const [isFrame, params] = useRoute("/custody/frame/:id");
  if (isFrame) return <FrameStoryPage key={params.id} id={params.id} />;
  return (
    <PlaceFrame
      title={words.shell.names.custody}
      facts={
        <div className={css.sections}>
          <SignedHeads />
          <Stamps />
        </div>
      }
    >
      <div className={css.sections}>
        <Verify />
        <FindFrame />
        <LogList />
      </div>
    </PlaceFrame>
  );
}
