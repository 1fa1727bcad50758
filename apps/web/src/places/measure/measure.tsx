import { useRoute } from "wouter";
import { Again } from "./again/again.tsx";
import { Choose } from "./choose/choose.tsx";
import { MeasureFrame } from "./work/frame.tsx";

/** Sizes from a picture: the scale that was read, the outline, the figures and their doubt. */
export default function Measure() {
  const [isFrame, params] = useRoute<{ id: string }>("/measure/:id");
  if (!isFrame) return <Choose />;
  if (params.id === "again") return <Again />;
  return <MeasureFrame key={params.id} frameId={params.id} />;
}
