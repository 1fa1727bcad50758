import type { CardOnRecord } from "@samescale/server";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { ResultOfCard } from "./result-of-card.tsx";

/** A card of the past, as it is on record. */
export function RecordResult({ id }: { readonly id: string }) {
  const card = useAnswer<CardOnRecord>(`/card/intakes/${encodeURIComponent(id)}`, ["intake", "frame"]);
  return (
    <Answered of={card}>
      {({ intake, files }) => (
        <ResultOfCard
          name={intake.name}
          files={files}
          erase={intake.erase}
          saidAt={intake.finishedAt}
          placed={intake.placed}
          unplaced={intake.unplaced}
          isWhole={intake.finishedAt !== null}
        >
          {intake.abandonedBecause && <p>{intake.abandonedBecause}.</p>}
        </ResultOfCard>
      )}
    </Answered>
  );
}
