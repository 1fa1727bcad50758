/**
 * The door for the browser: outlining as the worker threads do it, from the same source. Nothing behind it needs Node, a
 * native library or WebAssembly (`test/outline/browser-door.test.ts` walks the imports).
 */
export { edgeUPx } from "./edge-softness.ts";
export { type OutlineClicks, outlineBySteps, type Proposal, proposeOutline } from "./propose.ts";
export { emptyHistory, type OutlineHistory, redone, takenSteps, undone, withStep } from "./steps/history.ts";
export type { OutlineStep } from "./steps/step.ts";
export { stepsFromJson } from "./steps/steps-from-json.ts";
