import type { UseQueryResult } from "@tanstack/react-query";
import type { ReactNode } from "react";
import { reportFrom } from "../api/client.ts";
import { words } from "../words/index.ts";
import css from "./parts.module.css";
import { Problem } from "./problem.tsx";

/** Shows what the server answered, that it is on its way, or why it is not. */
export function Answered<Answer>({
  of,
  children,
}: {
  readonly of: UseQueryResult<Answer, unknown>;
  readonly children: (answer: Answer) => ReactNode;
}) {
  if (of.data !== undefined) return children(of.data);
  if (of.error) return <Problem report={reportFrom(of.error)} again={() => void of.refetch()} />;
  return (
    <p className={css.loading} role="status">
      {words.parts.loading}
    </p>
  );
}
