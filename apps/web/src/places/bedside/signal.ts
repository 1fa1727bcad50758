import { useEffect, useRef, useState } from "react";
import type { VerdictName } from "../../parts/verdict.tsx";
import { keptHere } from "../../shell/kept.ts";

export const SIGNALS = ["off", "sound", "vibration"] as const;
export type Signal = (typeof SIGNALS)[number];
const KEPT = "samescale-bedside-signal";

/** One high and short: keep. Two low: repeat. One low: look yourself. */
const TONES: Readonly<Record<VerdictName, readonly number[]>> = {
  keep: [880],
  repeat: [392, 330],
  "your-choice": [392],
  "not-judged": [392],
};
const TONE_S = 0.12;

let context: AudioContext | null = null;

function sound(verdict: VerdictName): void {
  context ??= new AudioContext();
  TONES[verdict].forEach((hertz, i) => {
    const tone = new OscillatorNode(context!, { frequency: hertz, type: "sine" });
    const loud = new GainNode(context!, { gain: 0.15 });
    tone.connect(loud).connect(context!.destination);
    tone.start(context!.currentTime + 1.5 * TONE_S * i);
    tone.stop(context!.currentTime + 1.5 * TONE_S * i + TONE_S);
  });
}

const tell = (how: Signal, verdict: VerdictName): void => {
  if (how === "sound") sound(verdict);
  if (how === "vibration") navigator.vibrate?.(TONES[verdict].map(() => 120).flatMap((ms) => [ms, 80]));
};

/**
 * Tells each new verdict by sound or vibration; off unless the person turns it on, as a patient hears it too.
 * @param frame id and verdict of the newest frame; null: not judged yet
 */
export function useSignal(
  frame: { readonly id: string; readonly verdict: VerdictName } | null,
): readonly [Signal, (signal: Signal) => void] {
  const [how, set] = useState<Signal>(() => (keptHere.read(KEPT) as Signal | null) ?? "off");
  // What was there when the page was opened is no news.
  const told = useRef<string | null | undefined>(undefined);
  const id = frame?.id ?? null;
  const verdict = frame?.verdict ?? null;
  useEffect(() => {
    if (told.current === id) return;
    const isNews = told.current !== undefined;
    told.current = id;
    if (isNews && verdict !== null) tell(how, verdict);
  }, [id, verdict, how]);
  return [
    how,
    (next) => {
      keptHere.write(KEPT, next);
      set(next);
      // Heard at once: whoever turns it on knows how it sounds, and the browser allows it from then on.
      tell(next, "keep");
    },
  ];
}
