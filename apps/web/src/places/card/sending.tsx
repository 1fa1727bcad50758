import { ProgressBar } from "react-aria-components";
import { Button } from "../../parts/button.tsx";
import { Problem } from "../../parts/problem.tsx";
import { words } from "../../words/index.ts";
import css from "./card.module.css";
import { type CardUpload, forgetUpload, goOnSending, stopSending } from "./upload/uploads.ts";

const said = words.card.sending;

/** A dropped card on its way to the server: how far, how long still, stop, go on. */
export function Sending({ upload }: { readonly upload: CardUpload }) {
  const { state, files, filesSent, bytes, bytesSent, isLost, problem, behind } = upload;
  const passedS = (Date.now() - upload.beganMs) / 1000;
  const rate = (bytesSent - upload.beganBytes) / passedS;
  const left = state === "sending" && !isLost && passedS > 1 && rate > 0 ? (bytes - bytesSent) / rate : null;
  const title = said.title(upload.name ?? said.loose);
  return (
    <section className={css.sending} aria-labelledby="sending">
      <h2 id="sending">{title}</h2>
      <ProgressBar aria-label={title} value={bytesSent} maxValue={Math.max(bytes, 1)}>
        <div className={css.between}>
          <span>{said.files(filesSent, files)}</span>
          <span>
            {words.card.bytes(bytesSent)} / {words.card.bytes(bytes)}
            {left !== null && ` · ${words.parts.left(Math.ceil(left))}`}
          </span>
        </div>
        <svg className={css.bar} viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true">
          <rect width={bytes ? (100 * bytesSent) / bytes : 0} height="4" />
        </svg>
      </ProgressBar>
      <p className={isLost ? css.lost : "quiet"} role="status">
        {isLost ? said.lost : state === "stopped" ? said.stopped : said.comparing}
      </p>
      {problem && <Problem report={problem} />}
      {behind > 0 && <p className="quiet">{said.next(behind)}</p>}
      <div className={css.row}>
        {state === "sending" ? (
          <Button onPress={stopSending}>{said.stop}</Button>
        ) : (
          <>
            <Button look="chief" onPress={goOnSending}>
              {said.goOn}
            </Button>
            <Button onPress={forgetUpload}>{words.parts.close}</Button>
          </>
        )}
      </div>
    </section>
  );
}
