import { hasAccounts, type Role } from "@samescale/desk";
import type { App, Deps } from "../deps.ts";
import type { Metrics } from "./metrics.ts";

const WATCHERS: readonly Role[] = ["lead", "administrator", "auditor"];

/** Whether it works, for whoever watches servers. */
export function healthRoute(app: App, { desk }: Pick<Deps, "desk">): void {
  app.get("/api/health", { config: { open: true } }, async (_request, reply) => {
    // The tables are asked: a server that cannot read them is of no use to anybody.
    const isWell = await hasAccounts(desk.library.read).then(
      () => true,
      () => false,
    );
    return await reply.code(isWell ? 200 : 503).send({ ok: isWell });
  });
}

/** How it works, for who answers for it or brings the token. */
export function metricsRoute(app: App, metrics: Metrics): void {
  app.get("/metrics", { config: { may: WATCHERS, orToken: true } }, async (_request, reply) =>
    reply.type("text/plain; version=0.0.4; charset=utf-8").send(metrics.text()),
  );
}
