import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Custody() {
  return (
    <PlaceFrame title={words.shell.names.custody}>
      <Empty title={words.custody.empty} />
    </PlaceFrame>
  );
}
