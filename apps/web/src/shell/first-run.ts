import type { FirstRunState } from "@samescale/server";
import { useEffect } from "react";
import { useLocation } from "wouter";
import { useAnswer } from "../api/use-answer.ts";
import { keptInWindow } from "./kept.ts";

const LEFT = "samescale-first-run-left";
const PLACE = "/practice/first-run";

/** Somebody leaves it for later: it does not open by itself again in this window. */
export const leaveFirstRun = (): void => keptInWindow.write(LEFT, "yes");

/** An empty library opens on its first run instead of Today. @param mayBegin they make pictures */
export function useFirstRun(mayBegin: boolean): void {
  const [path, go] = useLocation();
  const isAsked = mayBegin && path === "/" && keptInWindow.read(LEFT) === null;
  const { isNeeded } = useAnswer<FirstRunState>(isAsked ? "/first-run" : null, ["practice"]).data ?? {};
  useEffect(() => {
    if (isAsked && isNeeded) go(PLACE, { replace: true });
  }, [isAsked, isNeeded, go]);
}
