import type { SignedSoFar, StampKept } from "@samescale/server";
import { FileTrigger } from "react-aria-components";
import { ask } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { minuteOf } from "../../../parts/moment.ts";
import { notify } from "../../../shell/notices.ts";
import { words } from "../../../words/index.ts";
import css from "../custody.module.css";
import { saveFile } from "../save-file.ts";
import { useSigns } from "./signed-heads.tsx";

const said = words.custody.stamps;
const kept = ({ size, time, authority }: StampKept) => said.kept(size, minuteOf(time), authority);

/** A time stamp over the present head: asked for inside the building, or taken to any authority as a file. */
export function Stamps() {
  const signed = useAnswer<SignedSoFar>("/custody/heads", ["release", "intake", "time-stamp", "key"]);
  const signs = useSigns();
  const askNow = useAct(() => ask<StampKept>("POST", "/custody/stamps/ask", {}), { say: kept });
  const query = useAct(() => saveFile("POST", "/custody/stamps/query", {}));
  const bring = useAct(
    async (files: { query: File; reply: File }) =>
      ask<StampKept>("POST", "/custody/stamps", {
        query: await base64Of(files.query),
        reply: await base64Of(files.reply),
      }),
    { say: kept },
  );
  if (!signs || !signed.data) return null;
  const { authority } = signed.data;
  const choose = (list: FileList | null) => {
    const files = [...(list ?? [])];
    const one = files.find(({ name }) => name.endsWith(".tsq"));
    const other = files.find(({ name }) => name.endsWith(".tsr"));
    if (one && other) bring.mutate({ query: one, reply: other });
    else notify({ say: said.both });
  };
  return (
    <section aria-labelledby="stamps">
      <h2 id="stamps">{said.title}</h2>
      <p className="quiet">{said.hint}</p>
      <p>{authority === null ? said.none : said.asks(authority)}</p>
      <div className={css.row}>
        {authority !== null && (
          <Button look="chief" onPress={() => askNow.mutate(undefined)}>
            {said.ask}
          </Button>
        )}
        <Button onPress={() => query.mutate(undefined)}>{said.query}</Button>
        <FileTrigger allowsMultiple acceptedFileTypes={[".tsq", ".tsr"]} onSelect={choose}>
          <Button>{said.reply}</Button>
        </FileTrigger>
      </div>
      <p className="quiet">{said.replyHint}</p>
    </section>
  );
}

async function base64Of(file: File): Promise<string> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
}
