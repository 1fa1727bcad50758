import {
  addAccount,
  addFirstAccount,
  changeAccount,
  type Desk,
  doneOrThrow,
  endAccount,
  listOpenings,
  listPeople,
  openDoor,
  ROLES,
  type Role,
  revokeSessions,
  setPassword,
} from "@samescale/desk";
import type { Command } from "commander";
import { type PasswordAsker, passwordAsker } from "../frame/ask-password.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, libraryOption, oneOf } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { forgetToken, keepToken, keptToken } from "../frame/session-file.ts";
import { thisPerson, tokenInUse } from "../frame/this-person.ts";
import { withDesk } from "../frame/with-desk.ts";

interface Library {
  readonly library: string;
}

/** As the log has it for sessions and wrong tries of the command line. */
const THIS_MACHINE = "this machine";

/** `samescale people`: accounts and sessions (docs/people.md). */
export function configure(command: Command): void {
  const about = (name: string, description: string) =>
    libraryOption(command.command(name).description(description));
  about("first", "make the first account, an administrator; from then on everybody signs in")
    .argument("<login>", "name to sign in with")
    .requiredOption("--name <name>", "name as the record has it")
    .action(async (login: string, { library, name }: Library & { name: string }) => {
      await withPasswords(library, async (desk, { askNew }) => {
        const password = await askNew("Password for the first account: ");
        const actor = await thisPerson(desk);
        doneOrThrow(await addFirstAccount(desk, actor, { login, name, password }));
        say(`${login} is administrator. Sign in: samescale people sign-in ${login}`);
      });
    });
  about("sign-in", "sign in on this machine, for the commands over this library")
    .argument("<login>", "name to sign in with")
    .action(async (login: string, { library }: Library) => {
      await withPasswords(library, async (desk, asker) => await signIn(desk, login, asker));
    });
  about("sign-out", "sign out on this machine").action(async ({ library }: Library) => {
    await withDesk(library, async (desk) => {
      const token = await tokenInUse(desk);
      if (token !== null) await openDoor(desk).signOut(token);
      await forgetToken(desk.library.folder);
      say("Signed out.");
    });
  });
  about("list", "everybody who has or had an account")
    .option("--json", "one JSON object per line and person")
    .action(async ({ library, json }: Library & JsonOption) => {
      await withDesk(library, async (desk) => {
        for (const person of await listPeople(desk, await thisPerson(desk))) {
          const { login, name, role, state, openSessions } = person;
          const line = `${login}  ${name}, ${role}${state === "left" ? ", left" : ""}, ${openSessions} signed in`;
          say(json ? JSON.stringify(person) : line);
        }
      });
    });
  about("add", "add an account (administrators)")
    .argument("<login>", "name to sign in with; nobody gets it again")
    .requiredOption("--name <name>", "name as the record has it")
    .requiredOption("--role <role>", ROLES.join(", "), oneOf("--role", ROLES))
    .action(async (login: string, { library, name, role }: Library & { name: string; role: Role }) => {
      await withPasswords(library, async (desk, { askNew }) => {
        const actor = await thisPerson(desk);
        const password = await askNew(`Password for ${printable(login)}: `);
        doneOrThrow(await addAccount(desk, actor, { login, name, role, password }));
        say(`${login} can sign in as ${role}.`);
      });
    });
  about("change", "change a name or a role (administrators); signs that person out")
    .argument("<login>", "whose")
    .option("--name <name>", "new name")
    .option("--role <role>", ROLES.join(", "), oneOf("--role", ROLES))
    .requiredOption("--because <reason>", "why")
    .action(async (login: string, options: Library & { name?: string; role?: Role; because: string }) => {
      const { library, name, role, because } = options;
      if (name === undefined && role === undefined) {
        throw CommandFailure.badArguments("Expected --name or --role", "Say what changes.");
      }
      const change = { login, because, ...(name !== undefined && { name }), ...(role && { role }) };
      await withDesk(library, async (desk) => {
        doneOrThrow(await changeAccount(desk, await thisPerson(desk), change));
        say(`${login} was changed and signs in anew.`);
      });
    });
  about("password", "set one's own password, or as an administrator somebody's")
    .argument("<login>", "whose")
    .action(async (login: string, { library }: Library) => {
      await withPasswords(library, async (desk, asker) => await changePassword(desk, login, asker));
    });
  about("revoke", "end all sessions of somebody at once: one's own, or as an administrator anybody's")
    .argument("<login>", "whose")
    .requiredOption("--because <reason>", "why")
    .action(async (login: string, { library, because }: Library & { because: string }) => {
      await withDesk(library, async (desk) => {
        const revoked = await revokeSessions(desk, await thisPerson(desk), { login, because });
        const { ended } = doneOrThrow(revoked);
        say(`${ended} ${ended === 1 ? "session" : "sessions"} ended.`);
      });
    });
  about("end", "somebody left: signed out, password gone, name kept on record (administrators)")
    .argument("<login>", "who")
    .requiredOption("--because <reason>", "why")
    .action(async (login: string, { library, because }: Library & { because: string }) => {
      await withDesk(library, async (desk) => {
        doneOrThrow(await endAccount(desk, await thisPerson(desk), { login, because }));
        say(`${login} cannot sign in any more; what they did stays on record.`);
      });
    });
}

async function signIn(desk: Desk, login: string, { ask }: PasswordAsker): Promise<void> {
  const password = await ask("Password: ");
  const door = openDoor(desk);
  const signedIn = await door.signIn({ login, password, from: THIS_MACHINE });
  if (!signedIn.done) throw CommandFailure.badArguments(signedIn.reason, "Nobody was signed in.");
  const { token, actor, until } = signedIn.value;
  const before = await keptToken(desk.library.folder);
  if (before !== null) await door.signOut(before); // this machine is one person's at a time
  await keepToken(desk.library.folder, token);
  say(`${actor.name}, ${actor.role}, until ${until.slice(0, 16).replace("T", " ")} UTC.`);
  if (actor.role !== "lead" && actor.role !== "auditor") return;
  const waiting = await listOpenings(desk, actor, "unreviewed");
  if (waiting.length > 0) {
    say(`! ${waiting.length} opened in an emergency and not looked into yet: samescale access openings`);
  }
}

async function changePassword(desk: Desk, login: string, asker: PasswordAsker): Promise<void> {
  const actor = await thisPerson(desk);
  const [own] = (await listPeople(desk, { ...actor, role: "viewer" })).map((person) => person.login);
  const present = own === login ? { present: await asker.ask("Present password: ") } : {};
  const password = await asker.askNew(`New password for ${printable(login)}: `);
  doneOrThrow(await setPassword(desk, actor, { login, password, ...present }));
  say(`The password of ${login} was set; everybody signed in as ${login} is signed out.`);
}

async function withPasswords(
  library: string,
  work: (desk: Desk, asker: PasswordAsker) => Promise<void>,
): Promise<void> {
  const asker = passwordAsker();
  try {
    await withDesk(library, async (desk) => await work(desk, asker));
  } finally {
    asker.close();
  }
}

/** Names of people are in it. */
const say = (line: string): void => void process.stdout.write(`${printable(line)}\n`);
