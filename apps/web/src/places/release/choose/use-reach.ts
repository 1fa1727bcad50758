import type { Refusal } from "@samescale/server";
import { useQuery } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import type { Choice, Draft } from "./use-choice.ts";

/** What may change what consent allows, and what is confirmed of the pictures. */
const TOPICS = ["consent", "mask", "frame", "request", "research", "capacity", "access"];

/** What the desk would refuse of all pictures of this request, for the use that is chosen. */
export function useReach(code: string, { use, publication, project }: Choice) {
  const query = new URLSearchParams({ scope: use?.scope ?? "" });
  if (use?.namesPublication && publication.trim() !== "") query.set("publication", publication);
  if (project !== null) query.set("project", project);
  const path = `/release/requests/${encodeURIComponent(code)}/reach?${query}`;
  return useAnswer<Refusal[]>(use === null ? null : path, TOPICS);
}

export interface WantedBody {
  readonly scope: string;
  readonly form: string;
  readonly frames: readonly string[];
  readonly to: string;
  readonly purpose: string;
  readonly publication: string | null;
  readonly project: string | null;
  readonly expiresOn: string | null;
}

export const wantedOf = (choice: Choice, draft: Draft): WantedBody | null =>
  choice.use === null || choice.form === null
    ? null
    : {
        scope: choice.use.scope,
        form: choice.form,
        frames: choice.frames,
        to: draft.to,
        purpose: draft.purpose,
        publication: choice.use.namesPublication && choice.publication.trim() ? choice.publication : null,
        project: choice.project,
        expiresOn: draft.expiresOn.trim() || null,
      };

const SETTLED_MS = 300;

/** What the desk would refuse of the very release that is typed and chosen here; asked anew when something came about. */
export function useRefusals(code: string, wanted: WantedBody | null) {
  const text = JSON.stringify(wanted);
  const [settled, setSettled] = useState(text);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(text), SETTLED_MS);
    return () => clearTimeout(timer);
  }, [text]);
  const answer = useQuery<Refusal[]>({
    queryKey: ["release-refusals", code, settled],
    queryFn: ({ signal }) =>
      ask<Refusal[]>(
        "POST",
        `/release/requests/${encodeURIComponent(code)}/refusals`,
        JSON.parse(settled) as WantedBody,
        signal,
      ),
    enabled: settled !== "null",
    placeholderData: (before) => before,
    meta: { topics: TOPICS },
  });
  return { ...answer, isSettled: settled === text && !answer.isPlaceholderData };
}

/**
 * Said when what could leave cannot any more although nobody chose otherwise here: consent was withdrawn, a mask changed, in
 * another tab or by somebody else. Null as long as nothing of that kind came about.
 */
export function useWhatChanged(choice: Choice, refusals: readonly Refusal[] | undefined): readonly Refusal[] {
  const asked = JSON.stringify([choice.use?.scope, choice.publication, choice.project]);
  const before = useRef<{ readonly asked: string; readonly refused: ReadonlySet<string> } | null>(null);
  const [changed, setChanged] = useState<readonly Refusal[]>([]);
  useEffect(() => {
    if (refusals === undefined) return;
    const ofPictures = refusals.filter(({ frameId }) => frameId !== null);
    const keyOf = ({ frameId, why }: Refusal) => `${frameId} ${why}`;
    const last = before.current;
    before.current = { asked, refused: new Set(ofPictures.map(keyOf)) };
    if (last?.asked !== asked) setChanged([]);
    else {
      const now = new Set(ofPictures.map(keyOf));
      const fresh = ofPictures.filter((refusal) => !last.refused.has(keyOf(refusal)));
      setChanged((told) => [
        ...told.filter((refusal) => now.has(keyOf(refusal)) && !fresh.includes(refusal)),
        ...fresh,
      ]);
    }
  }, [asked, refusals]);
  return changed;
}
