import { hasAccounts, type Role } from "@samescale/desk";
import type { Area } from "../deps.ts";

/** Who looks at the page. */
export interface Me {
  readonly name: string;
  readonly role: Role;
  /** False: one person and one machine, nobody signs in. */
  readonly hasAccounts: boolean;
  readonly department: string;
  /** Everything here is invented. */
  readonly isDemonstration: boolean;
}

/** Signing in and out, accounts. */
export const peopleRoutes: Area = (app, { desk, practice, isDemonstration }) => {
  app.get("/people/me", { config: { open: true } }, async ({ actor }): Promise<Me | null> => {
    if (actor === null) return null;
    const { department } = await practice();
    const { name, role } = actor;
    return { name, role, hasAccounts: await hasAccounts(desk.library.read), department, isDemonstration };
  });
};
