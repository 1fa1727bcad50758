import type { Area } from "../deps.ts";
import { accountRoutes } from "./people/accounts.ts";
import { openingRoutes } from "./people/openings.ts";
import { ownRoutes } from "./people/own.ts";
import { signInRoutes } from "./people/sign-in.ts";

export type { ListedOpening, ListedPerson, ListedSession, Opened } from "@samescale/desk";
export type { Added } from "./people/accounts.ts";
export type { OwnSession } from "./people/own.ts";
export type { Me } from "./people/sign-in.ts";

/** Signing in and out, one's own account, everybody's accounts, what was opened in an emergency. */
export const peopleRoutes: Area = (app, deps) => {
  signInRoutes(app, deps);
  ownRoutes(app, deps);
  accountRoutes(app, deps);
  openingRoutes(app, deps);
};
