import type { ErrorReport } from "@samescale/errors";
import type { PlanAnswer } from "@samescale/server";
import { ownPageHeaders, Refused } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Link } from "../../../parts/link.tsx";
import { words } from "../../../words/index.ts";
import css from "./whole-request.module.css";

const say = words.request.card;

/** The plan to be held in the hand: on a phone, on paper. */
export function CardTab({ code }: { readonly code: string }) {
  const kept = useAnswer<PlanAnswer>(`/requests/${code}/plan`, ["plan"]);
  const make = useAct(() => downloadPdf(code), { say: () => say.made });
  return (
    <Answered of={kept}>
      {({ plan }) =>
        plan === null ? (
          <Empty title={say.none}>
            <Link to={`/requests/${code}?show=plan`} look="chief">
              {say.toPlan}
            </Link>
          </Empty>
        ) : (
          <>
            <p>{say.help}</p>
            <div className={css.cards}>
              <section>
                <h2>{say.phone}</h2>
                <p className="quiet">{say.phoneHelp}</p>
                <a href={`/api/requests/${code}/card`} target="_blank" rel="noreferrer">
                  {say.phone}: {code}
                </a>
              </section>
              <section>
                <h2>{say.paper}</h2>
                <p className="quiet">{say.paperHelp}</p>
                <Button onPress={() => make.mutate(undefined)} isDisabled={make.isPending}>
                  {say.print}
                </Button>
              </section>
            </div>
          </>
        )
      }
    </Answered>
  );
}

async function downloadPdf(code: string): Promise<void> {
  const answer = await fetch(`/api/requests/${code}/card.pdf`, { method: "POST", headers: ownPageHeaders() });
  if (!answer.ok) throw new Refused((await answer.json()) as ErrorReport, answer.status);
  const url = URL.createObjectURL(await answer.blob());
  const link = document.createElement("a");
  link.href = url;
  link.download = `shot-card-${code}.pdf`;
  link.click();
  URL.revokeObjectURL(url);
}
