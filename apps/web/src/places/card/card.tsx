import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Card() {
  return (
    <PlaceFrame title={words.shell.names.card}>
      <Empty title={words.card.empty} />
    </PlaceFrame>
  );
}
