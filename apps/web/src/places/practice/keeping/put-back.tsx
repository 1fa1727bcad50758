import { useState } from "react";
import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";

const { keeping: say } = words.practice;

/** What to do when the library is gone, with the exact words of each command. It is done elsewhere: this library stays. */
export function PutBack({ backup, isEncrypted }: { readonly backup: string; readonly isEncrypted: boolean }) {
  const secret = isEncrypted ? " --passphrase-file words.txt" : "";
  const store = backup.startsWith("s3://") ? " --endpoint https://objects.hospital.example" : "";
  const place = /^[\w./:-]+$/.test(backup) ? backup : `'${backup.replaceAll("'", "'\\''")}'`;
  const folder = "/home/studio/library";
  const commands: Readonly<Record<number, string>> = {
    2: `samescale backup --list ${place}${store}${secret}`,
    3: `samescale restore ${place} ${folder}${store}${secret}`,
    5: `samescale serve --library ${folder}`,
  };
  return (
    <section className={css.section}>
      <h2>{say.restore}</h2>
      <p className={css.text}>{say.restoreSays}</p>
      <ol className={css.steps}>
        {say.restoreSteps.map((step, i) => (
          <li key={step}>
            {step}
            {commands[i] && <Command text={commands[i]} />}
          </li>
        ))}
      </ol>
      <p className={css.text}>{say.proveIt}</p>
    </section>
  );
}

function Command({ text }: { readonly text: string }) {
  const [isCopied, setCopied] = useState(false);
  return (
    <span className={css.row}>
      <code className={`${css.mono} ${css.command}`}>{text}</code>
      <Button
        look="bare"
        aria-label={`${isCopied ? say.copied : say.copy}: ${text}`}
        onPress={() => {
          void navigator.clipboard?.writeText(text);
          setCopied(true);
        }}
      >
        {isCopied ? say.copied : say.copy}
      </Button>
    </span>
  );
}
