import { useEffect } from "react";
import { useLocation, useSearchParams } from "wouter";
import css from "./card.module.css";
import { CardsHere } from "./cards-here.tsx";
import { Clocks } from "./clocks/clocks.tsx";
import { DropCard } from "./drop-card.tsx";
import { Lately } from "./lately.tsx";
import { OpenDrops } from "./open-drops.tsx";
import { RecordResult } from "./result/record-result.tsx";
import { RunningTakeIn } from "./running-take-in.tsx";
import { Sending } from "./sending.tsx";
import { forgetUpload, useCardUpload } from "./upload/uploads.ts";

/** Ways to bring a card in; what is on its way; how it ended. What is looked at is in the address. */
export function TakeIn() {
  const [, go] = useLocation();
  const [asked] = useSearchParams();
  const job = asked.get("job");
  const intake = asked.get("intake");
  const upload = useCardUpload();
  useEffect(() => {
    if (upload?.state !== "whole" || upload.job === null) return;
    go(`/card?job=${upload.job}`);
    forgetUpload();
  }, [upload, go]);
  if (job !== null) return <RunningTakeIn key={job} job={job} />;
  if (intake !== null) return <RecordResult key={intake} id={intake} />;
  const begun = (id: string) => go(`/card?job=${id}`);
  return (
    <div className={css.sections}>
      {upload ? <Sending upload={upload} /> : <DropCard />}
      <OpenDrops onBegun={begun} sending={upload?.drop ?? null} />
      <Clocks />
      <CardsHere onBegun={begun} />
      <Lately onBegun={begun} />
    </div>
  );
}
