import { useRoute } from "wouter";
import { ChooseRequest } from "./choose-request.tsx";
import { RequestAtBedside } from "./request-at-bedside.tsx";

/** The newest frame, what to do about it, what is missing, the baseline. */
export default function Bedside() {
  const [isOfRequest, params] = useRoute("/bedside/:code");
  if (isOfRequest) return <RequestAtBedside key={params.code} code={decodeURIComponent(params.code)} />;
  return <ChooseRequest />;
}
