/** The first view comes first: keeping fetches every file of the application. */
const AFTER_MS = 3000;

/**
 * The shell is kept by the browser, so that the application opens while the server does not answer, and says so. Not while
 * it is worked on, and not where the browser does not trust the address.
 */
export function keepShell(): void {
  if (!import.meta.env.PROD || !("serviceWorker" in navigator)) return;
  addEventListener("load", () => {
    setTimeout(() => {
      // Without it everything works but opening without a server.
      navigator.serviceWorker.register("/service-worker.js").catch(() => {});
    }, AFTER_MS);
  });
}
