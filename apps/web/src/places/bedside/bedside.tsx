import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Bedside() {
  return (
    <PlaceFrame title={words.shell.names.bedside}>
      <Empty title={words.bedside.empty} />
    </PlaceFrame>
  );
}
