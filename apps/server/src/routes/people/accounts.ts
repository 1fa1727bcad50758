import {
  addAccount,
  addFirstAccount,
  changeAccount,
  doneOrThrow,
  endAccount,
  type ListedPerson,
  type ListedSession,
  listPeople,
  listSessions,
  PHOTOGRAPHERS,
  ROLES,
  type Role,
  revokeSessions,
  setPassword,
} from "@samescale/desk";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { because, login, loginParams, password } from "./fields.ts";

export interface Added {
  readonly id: string;
}

const ADMINISTRATOR: readonly Role[] = ["administrator"];
const LISTERS: readonly Role[] = ["administrator", "lead", "auditor"];

const name = z.string().max(200);
const role = z.enum(ROLES);
const small = 10_000;

/** Everybody's accounts: looked after by administrators, listed for those who answer for them or check. */
export const accountRoutes: Area = (app, { desk }) => {
  const byAdministrator = { config: { may: ADMINISTRATOR }, bodyLimit: small };
  app.get(
    "/people/accounts",
    { config: { may: LISTERS } },
    async (request): Promise<readonly ListedPerson[]> => await listPeople(desk, who(request)),
  );
  app.post(
    "/people/accounts/first",
    {
      config: { may: PHOTOGRAPHERS },
      schema: { body: z.object({ login, name, password }) },
      bodyLimit: small,
    },
    async (request): Promise<Added> => doneOrThrow(await addFirstAccount(desk, who(request), request.body)),
  );
  app.post(
    "/people/accounts",
    { ...byAdministrator, schema: { body: z.object({ login, name, role, password }) } },
    async (request): Promise<Added> => doneOrThrow(await addAccount(desk, who(request), request.body)),
  );
  app.patch(
    "/people/accounts/:login",
    {
      ...byAdministrator,
      schema: {
        params: loginParams,
        body: z.object({ name: name.exactOptional(), role: role.exactOptional(), because }),
      },
    },
    async (request) => {
      doneOrThrow(await changeAccount(desk, who(request), { ...request.params, ...request.body }));
      return { changed: true };
    },
  );
  app.post(
    "/people/accounts/:login/end",
    { ...byAdministrator, schema: { params: loginParams, body: z.object({ because }) } },
    async (request) => {
      doneOrThrow(await endAccount(desk, who(request), { ...request.params, ...request.body }));
      return { ended: true };
    },
  );
  app.put(
    "/people/accounts/:login/password",
    { ...byAdministrator, schema: { params: loginParams, body: z.object({ password }) } },
    async (request) => {
      doneOrThrow(await setPassword(desk, who(request), { ...request.params, ...request.body }));
      return { changed: true };
    },
  );
  app.get(
    "/people/accounts/:login/sessions",
    { ...byAdministrator, schema: { params: loginParams } },
    async (request): Promise<readonly ListedSession[]> =>
      await listSessions(desk, who(request), request.params.login),
  );
  app.post(
    "/people/accounts/:login/sessions/end",
    { ...byAdministrator, schema: { params: loginParams, body: z.object({ because }) } },
    async (request) =>
      doneOrThrow(await revokeSessions(desk, who(request), { ...request.params, ...request.body })),
  );
};
