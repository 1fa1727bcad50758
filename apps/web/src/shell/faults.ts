import { reportFrom } from "../api/client.ts";
import { notify } from "./notices.ts";

/** Browsers tell of it although nothing is wrong: a size that was watched changed once more in the same frame. */
const HARMLESS = /ResizeObserver loop/;

/**
 * A fault in the page that nothing else caught is told to the person, with a way on, instead of a page that silently does
 * not do what was pressed.
 */
export function tellFaults(): void {
  addEventListener("error", ({ error, message }) => tell(error ?? message));
  addEventListener("unhandledrejection", ({ reason }) => tell(reason));
}

function tell(thrown: unknown): void {
  // Whoever asked does not want it any more.
  if (thrown instanceof DOMException && thrown.name === "AbortError") return;
  if (HARMLESS.test(String(thrown))) return;
  notify({ problem: reportFrom(thrown), reload: true });
}
