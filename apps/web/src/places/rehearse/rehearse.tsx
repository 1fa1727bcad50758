import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Rehearse() {
  return (
    <PlaceFrame title={words.shell.names.rehearse}>
      <Empty title={words.rehearse.empty} />
    </PlaceFrame>
  );
}
