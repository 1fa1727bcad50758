import type { CardResult, Job, JobBegun, OpenDrop } from "@samescale/server";
import { useQueryClient } from "@tanstack/react-query";
import { useLocation } from "wouter";
import { ask } from "../../api/client.ts";
import { useAct, useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { JobProgress } from "../../parts/job-progress.tsx";
import { Link } from "../../parts/link.tsx";
import { Problem } from "../../parts/problem.tsx";
import { words } from "../../words/index.ts";
import css from "./card.module.css";
import { EraseSign } from "./result/erase-sign.tsx";
import { ResultOfCard } from "./result/result-of-card.tsx";

/** A card that is being taken in, then its result; stopped: the way on. */
export function RunningTakeIn({ job: id }: { readonly job: string }) {
  const client = useQueryClient();
  const job = useAnswer<Job>(`/jobs/${id}`, [`job/${id}`]);
  return (
    <Answered of={job}>
      {(now) => {
        if (now.state === "done") return <Done result={now.value as CardResult} />;
        return (
          <div className={css.sections}>
            <EraseSign erase={null} />
            {now.state === "running" ? (
              <JobProgress id={id} onEnd={() => void client.invalidateQueries()} />
            ) : (
              <>
                {now.error ? <Problem report={now.error} /> : <p>{words.card.job.stopped}</p>}
                <GoOn name={now.what} />
              </>
            )}
          </div>
        );
      }}
    </Answered>
  );
}

/** The same card once more: from the drop where it was dropped, else from its folder. */
function GoOn({ name }: { readonly name: string }) {
  const [, go] = useLocation();
  const cards = useAnswer<{ name: string; cardPath: string; isDropped: boolean }[]>("/card/intakes", [
    "intake",
  ]);
  const drops = useAnswer<OpenDrop[]>("/card/drops", ["intake"]);
  const drop = drops.data?.find(
    ({ folder }) => folder === name || (folder === null && name === "loose files"),
  );
  const card = cards.data?.find((each) => each.name === name && !each.isDropped);
  const goOn = useAct(async () => {
    const { job } = drop
      ? await ask<JobBegun>("POST", `/card/drops/${drop.id}/take-in`, { withoutTheRest: true })
      : await ask<JobBegun>("POST", "/card/take-in", { folder: card?.cardPath ?? "" });
    go(`/card?job=${job}`);
  });
  return (
    <div className={css.row}>
      {(drop || card) && (
        <Button look="chief" onPress={() => goOn.mutate(undefined)}>
          {words.card.job.goOn}
        </Button>
      )}
      <Link to="/card" look="plain">
        {words.card.result.another}
      </Link>
    </div>
  );
}

function Done({ result }: { readonly result: CardResult }) {
  const { card, files, faults, summary } = result;
  return (
    <ResultOfCard
      name={card}
      files={files}
      erase={summary && { may: summary.cardMayBeErased, why: summary.why }}
      placed={summary?.placed ?? 0}
      unplaced={summary?.unplaced ?? 0}
      isWhole={summary !== null}
    >
      {faults.map((fault) => (
        <Problem key={fault.message} report={fault} />
      ))}
      {summary?.notSigned && <p>{words.card.result.notSigned(summary.notSigned)}</p>}
      {summary?.signedEntries != null && (
        <p className="quiet">{words.card.result.signed(summary.signedEntries)}</p>
      )}
    </ResultOfCard>
  );
}
