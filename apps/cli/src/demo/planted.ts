import type { DemoManifest, MadeFrame } from "@samescale/simulator";
import type { CardFindings } from "./take-cards.ts";
import type { WorkedFrame } from "./work-visits.ts";

/** A fault that was planted, and whether the work found it. */
export interface PlantedFault {
  readonly what: string;
  readonly where: string;
  /** What the work said; null: not found. */
  readonly told: string | null;
}

/** Every planted fault once, beside what the work said of it. */
export function plantedFaults(
  manifest: DemoManifest,
  cards: CardFindings,
  frames: readonly WorkedFrame[],
): readonly PlantedFault[] {
  const faults: PlantedFault[] = [];
  for (const card of manifest.cards) {
    if (card.clockOffsetS !== 0) faults.push(clockFault(card.key, card.clockOffsetS, cards));
    for (const made of card.frames) {
      const worked = frames.find(({ checked }) => checked.name === made.fileName);
      for (const planted of made.planted) {
        const fault = frameFault(planted, made, worked, cards);
        if (fault) faults.push(fault);
      }
    }
  }
  return faults;
}

function clockFault(card: string, offsetS: number, { clocks }: CardFindings): PlantedFault {
  const found = clocks.find((clock) => clock.card === card);
  return {
    what: `camera's clock ${duration(offsetS)} ahead`,
    where: card,
    told: found ? `its label frame is ${duration(found.aheadS)} after its booking` : null,
  };
}

function frameFault(
  planted: MadeFrame["planted"][number],
  made: MadeFrame,
  worked: WorkedFrame | undefined,
  cards: CardFindings,
): PlantedFault | null {
  const where = made.fileName;
  const verdict = worked?.checked.verdict ?? null;
  const finding = (what: string) => verdict?.findings.some((f) => f.what === what) ?? false;
  const say = verdict?.say ?? null;
  switch (planted.fault) {
    case "ratio": {
      const what = `made at 1:${1 / planted.madeMagnification}, planned 1:${1 / planted.plannedMagnification}`;
      return { what, where, told: finding("ratio") ? say : null };
    }
    case "lean":
      return { what: `camera leans ${planted.leanDeg}°`, where, told: finding("lean") ? say : null };
    case "scale-height": {
      const what = `scale ${planted.heightMm} mm above the skin`;
      return { what, where, told: finding("scale-plane") ? say : null };
    }
    case "no-label": {
      const waited = cards.unplaced.includes(made.fileName);
      return {
        what: "no label frame",
        where,
        told: waited ? "given to nobody until a person said whose it is" : null,
      };
    }
    case "clock":
      return null; // told once for the card
  }
}

function duration(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
