import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Practice() {
  return (
    <PlaceFrame title={words.shell.names.practice}>
      <Empty title={words.practice.empty} />
    </PlaceFrame>
  );
}
