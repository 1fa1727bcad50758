import type { ReleaseChoices, ReleaseUse } from "@samescale/server";
import { useState } from "react";
import { useSearchParams } from "wouter";

/** What is chosen and may stand in an address: no names of persons, no free text about them. */
export interface Choice {
  readonly use: ReleaseUse | null;
  readonly form: string | null;
  readonly publication: string;
  readonly project: string | null;
  readonly frames: readonly string[];
  /** The picture that is shown as it leaves. */
  readonly shown: string | null;
  /** The picture whose masks are confirmed. */
  readonly mask: string | null;
}

export type Changes = Partial<
  Record<"scope" | "form" | "publication" | "project" | "shown" | "mask", string>
> & {
  readonly frames?: readonly string[];
};

/** More than these make an address that some servers refuse: then all of them are chosen by one word. */
const ALL = "all";

/** What is chosen for this request, kept in the address: a link, the back button and a second tab show the same. */
export function useChoice(of: ReleaseChoices): [Choice, (changes: Changes, isStep?: boolean) => void] {
  const [params, setParams] = useSearchParams();
  const use = of.uses.find(({ scope }) => scope === params.get("scope")) ?? null;
  const forms = use?.forms ?? [];
  const form = forms.find((name) => name === params.get("form")) ?? usualForm(use);
  const known = new Set(of.pictures.map(({ frameId }) => frameId));
  const named = params.get("frames");
  const frames =
    named === null
      ? newestVisit(of)
      : named === ALL
        ? [...known]
        : named.split(".").filter((frameId) => known.has(frameId));
  const project = of.projects.find((name) => name === params.get("project")) ?? of.projects[0] ?? null;
  const choice: Choice = {
    use,
    form,
    publication: params.get("publication") ?? (use?.namesPublication ? (of.publications[0] ?? "") : ""),
    project: use?.scope === "research" ? project : null,
    frames,
    shown: frameIn(known, params.get("shown")),
    mask: frameIn(known, params.get("mask")),
  };
  const change = ({ frames: chosen, ...texts }: Changes, isStep = false) =>
    setParams(
      (before) => {
        const next = new URLSearchParams(before);
        for (const [name, value] of Object.entries(texts)) {
          if (value === "") next.delete(name);
          else next.set(name, value);
        }
        if (texts.scope !== undefined) next.delete("form");
        if (chosen) next.set("frames", chosen.length === known.size ? ALL : chosen.join("."));
        return next;
      },
      { replace: !isStep },
    );
  return [choice, change];
}

const frameIn = (known: ReadonlySet<string>, frameId: string | null): string | null =>
  frameId !== null && known.has(frameId) ? frameId : null;

const usualForm = (use: ReleaseUse | null): string | null =>
  use === null ? null : use.scope === "evidence" ? "evidence" : (use.forms[0] ?? null);

function newestVisit({ pictures }: ReleaseChoices): string[] {
  const day = pictures.at(-1)?.visit ?? null;
  return pictures.filter(({ visit }) => visit === day).map(({ frameId }) => frameId);
}

/** Who receives it: names of persons, which belong into no address. Kept while the application is open. */
export interface Draft {
  readonly to: string;
  readonly purpose: string;
  readonly expiresOn: string;
}

const drafts = new Map<string, Draft>();
const NOTHING: Draft = { to: "", purpose: "", expiresOn: "" };

export function useDraft(code: string): [Draft, (change: Partial<Draft>) => void, () => void] {
  const [draft, set] = useState(drafts.get(code) ?? NOTHING);
  const keep = (next: Draft) => {
    drafts.set(code, next);
    set(next);
  };
  return [draft, (change) => keep({ ...draft, ...change }), () => keep(NOTHING)];
}
