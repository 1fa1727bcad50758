declare global {
  interface Window {
    /** Filled by a script in `index.html`, before the application is read. Null: it was not answered. */
    askedEarly?: Map<string, Promise<Response | null>>;
  }
}

/** Later than this an answer is no news. */
const FRESH_MS = 10_000;

/**
 * The answer that was asked for while the application was still being read; each is taken once. Null: there is none, or
 * it was refused, and whoever needs it asks for it and hears why.
 */
export async function answerAskedEarly(path: string): Promise<Response | null> {
  const asked = window.askedEarly?.get(path);
  if (asked === undefined) return null;
  window.askedEarly?.delete(path);
  if (performance.now() > FRESH_MS) return null;
  const response = await asked;
  return response?.ok ? response : null;
}
