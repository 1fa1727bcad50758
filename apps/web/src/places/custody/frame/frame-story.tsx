import type { FrameStory } from "@samescale/server";
import { useRef } from "react";
import { useSearchParams } from "wouter";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Link } from "../../../parts/link.tsx";
import { minuteOf, personOf } from "../../../parts/moment.ts";
import { useKeys } from "../../../shell/keys.ts";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { words } from "../../../words/index.ts";
import css from "../custody.module.css";
import { saveFile } from "../save-file.ts";
import { FrameFactsOnRecord } from "./frame-facts.tsx";

const said = words.custody.frame;

/** What happened to one frame, from its card to each release: a line for each act. */
export function FrameStoryPage({ id }: { readonly id: string }) {
  const story = useAnswer<FrameStory>(`/custody/frames/${encodeURIComponent(id)}`, [
    "frame",
    "release",
    "measurement",
    "outline",
    "verdict",
    "mask",
    "copy",
    "look",
  ]);
  const save = useAct(() =>
    saveFile("POST", "/custody/proofs", { subjects: [`frame/${id}`], entries: [], since: null }),
  );
  const name = story.data?.frame.name;
  return (
    <PlaceFrame
      title={name ? said.title(name) : words.shell.names.custody}
      acts={
        <>
          <Link to="/custody" look="plain">
            {words.shell.names.custody}
          </Link>
          {story.data?.frame.requestCode && (
            <Link
              to={`/frames?request=${encodeURIComponent(story.data.frame.requestCode)}&at=${id}`}
              look="plain"
            >
              {said.frames}
            </Link>
          )}
          {name && <Button onPress={() => save.mutate(undefined)}>{said.proofs}</Button>}
          {story.data?.frame.requestCode && (
            <Link to={`/release/${encodeURIComponent(story.data.frame.requestCode)}`} look="plain">
              {said.evidence}
            </Link>
          )}
        </>
      }
      facts={story.data && <FrameFactsOnRecord frame={story.data.frame} />}
    >
      <Answered of={story}>{(all) => <Story story={all} onProofs={() => save.mutate(undefined)} />}</Answered>
    </PlaceFrame>
  );
}

function Story({ story, onProofs }: { readonly story: FrameStory; readonly onProofs: () => void }) {
  const { lines } = story;
  const [asked, ask] = useSearchParams();
  const list = useRef<HTMLOListElement>(null);
  const at = lines.findIndex(({ entry }) => String(entry) === asked.get("entry"));
  const go = (next: number) => {
    const line = lines[Math.min(Math.max(next, 0), lines.length - 1)];
    if (!line) return;
    ask(
      (now) => {
        now.set("entry", String(line.entry));
        return now;
      },
      { replace: true },
    );
    list.current?.querySelector<HTMLElement>(`[data-entry="${line.entry}"]`)?.focus();
  };
  const keys = words.custody.keys;
  useKeys(keys.title, [
    { key: "j", does: keys.next, run: () => go(at + 1) },
    { key: "k", does: keys.previous, run: () => go(at < 0 ? 0 : at - 1) },
    { key: "p", does: keys.proofs, run: onProofs },
  ]);
  return (
    <section aria-labelledby="story" className={css.story}>
      <h2 id="story">
        {said.story} <span className="quiet">{said.acts(lines.length)}</span>
      </h2>
      <ol ref={list} className={css.log}>
        {lines.map(({ entry, time, actor, says, because }, index) => (
          <li
            key={entry}
            data-entry={entry}
            tabIndex={-1}
            aria-current={index === at ? "true" : undefined}
            className={css.logLine}
          >
            <span className={css.when}>{minuteOf(time)}</span>
            <span className={css.what}>
              <span className={css.says}>{says}</span>
              <span className="quiet">
                {personOf(actor)}
                {because && ` · ${because}`}
              </span>
            </span>
            <span className={`quiet ${css.number}`}>{words.custody.log.entry(entry)}</span>
          </li>
        ))}
      </ol>
      <p className="quiet">{said.proofsHint}</p>
      <p className="quiet">{said.evidenceHint}</p>
    </section>
  );
}
