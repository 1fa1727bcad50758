import type { Actor, Desk, Door } from "@samescale/desk";
import type { PicturePool } from "@samescale/picture";
import type { Practice } from "@samescale/practice";
import type { FastifyInstance, RawServerDefault } from "fastify";
import type { ZodTypeProvider } from "fastify-type-provider-zod";
import type { SessionCookie } from "./identity/session-cookie.ts";
import type { Jobs } from "./jobs/jobs.ts";

/** What the server stands on. It has no rules of its own and touches no store: every route asks the desk. */
export interface Deps {
  readonly desk: Desk;
  readonly pool: PicturePool;
  readonly door: Door;
  /** Who works at this machine while the library has no accounts. @throws SamescaleError SIGN_IN_NEEDED */
  readonly personHere: () => Promise<Actor>;
  /** Read anew for each request: a person may be editing it. */
  readonly practice: () => Promise<Practice>;
  /** Folder of the practice's own files; the first run makes one, so it is asked for anew each time. */
  readonly practiceFolder: () => Promise<string>;
  /** The bundled application; null: the routes alone (tests). */
  readonly webFolder: string | null;
  /** Everything in the library is invented: the pages say so, and it can be removed in one act. */
  readonly isDemonstration: boolean;
  /**
   * Ends the server, removes the demonstration and begins anew over an empty library, after the answer was sent. Left
   * out: this server cannot.
   */
  readonly startOver?: (wanted: { readonly keepPractice: boolean }) => void;
  /** Where what was dropped into the page waits to be taken in. Beside the library, never in a public folder. */
  readonly dropFolder: string;
  /** Below which folders of this machine cards may be taken in once there are accounts; left out: nowhere. */
  readonly cardFolders?: readonly string[];
}

export interface AreaDeps extends Deps {
  readonly jobs: Jobs;
  /** Tells every open page that this came about: what is not in the custody log (a finding at the bedside, a job). */
  readonly tell: (topic: string) => void;
  readonly cookie: SessionCookie;
}

export type App = FastifyInstance<
  RawServerDefault,
  import("node:http").IncomingMessage,
  import("node:http").ServerResponse,
  import("fastify").FastifyBaseLogger,
  ZodTypeProvider
>;

/** The routes of one area. Paths are below `/api`. */
export type Area = (app: App, deps: AreaDeps) => void;
