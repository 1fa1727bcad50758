/**
 * When the person last did something. A page that is open and asks by itself, because somebody else did something, keeps
 * nobody signed in: each request says how long ago this page was touched.
 */
let touchedMs = performance.now();

export const touched = (): void => {
  touchedMs = performance.now();
};

/** Whole seconds since then. */
export const untouchedS = (): number => Math.floor((performance.now() - touchedMs) / 1000);

for (const kind of ["pointerdown", "pointermove", "keydown", "wheel", "touchmove"]) {
  addEventListener(kind, touched, { capture: true, passive: true });
}
