import type { ErrorReport } from "@samescale/errors";
import { useState } from "react";
import { words } from "../words/index.ts";
import { Button } from "./button.tsx";
import css from "./parts.module.css";

/** What went wrong, to which file or field, what to do; can be copied with its code. */
export function Problem({ report, again }: { readonly report: ErrorReport; readonly again?: () => void }) {
  const [isCopied, setCopied] = useState(false);
  const copy = async () => {
    await navigator.clipboard?.writeText(`${report.message}\n${report.help}\n[${report.code}]`);
    setCopied(true);
  };
  return (
    <div className={css.problem} role="alert">
      <p>
        <strong>{report.message}</strong>
      </p>
      <p>{report.help}</p>
      <p className={css.row}>
        <code className="quiet">{report.code}</code>
        {again && <Button onPress={again}>{words.parts.again}</Button>}
        <Button look="bare" onPress={() => void copy()}>
          {isCopied ? words.parts.copied : words.parts.copy}
        </Button>
      </p>
    </div>
  );
}
