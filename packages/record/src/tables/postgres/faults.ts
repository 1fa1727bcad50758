import { SamescaleError } from "@samescale/errors";

interface Answer {
  readonly code: string;
  readonly what: string;
  readonly help: string;
}

const UNREACHABLE: Answer = {
  code: "TABLES_UNREACHABLE",
  what: "The database server does not answer",
  help: "Check that it runs and that the network reaches it, then run the same command again; what was said to be stored is stored.",
};
const LOGIN: Answer = {
  code: "TABLES_LOGIN_REFUSED",
  what: "The database server does not let us in",
  help: "Check user and database in places.json and the password in $SAMESCALE_TABLES_PASSWORD or the secrets file.",
};
const NOT_SECURE: Answer = {
  code: "TABLES_NOT_SECURE",
  what: "The connection to the database server would not be safe",
  help: "Switch TLS on at the server and name its authority with sslrootcert; docs/department.md tells how.",
};
const NOT_PERMITTED: Answer = {
  code: "TABLES_NOT_PERMITTED",
  what: "The database server does not permit that",
  help: "Ask who keeps the server for the rights that docs/department.md lists.",
};
const BUSY: Answer = {
  code: "LIBRARY_BUSY",
  what: "The database is busy with others",
  help: "Wait until they have finished and run the same command again.",
};
const FULL: Answer = {
  code: "DISK_FULL",
  what: "The database server's disk is full",
  help: "Have space freed on the server and run the same command again.",
};
const DAMAGED: Answer = {
  code: "LIBRARY_DAMAGED",
  what: "The database is damaged",
  help: "Do not write to it; tell who keeps the server. The originals are untouched by this.",
};
const DISK: Answer = {
  code: "LIBRARY_DISK_FAULT",
  what: "The disk under the database failed while reading or writing",
  help: "Tell who keeps the server; what was said to be stored is stored.",
};
const REFUSED: Answer = {
  code: "TABLES_REFUSED",
  what: "The database refused a change",
  help: "Please report it with this message; nothing was changed.",
};

/**
 * By SQLSTATE, the whole or its class of two characters; the whole is looked up first.
 * @source PostgreSQL manual, appendix A, error codes
 */
const BY_STATE: Readonly<Record<string, Answer>> = {
  "08": UNREACHABLE,
  "57P01": UNREACHABLE,
  "57P02": UNREACHABLE,
  "57P03": UNREACHABLE,
  "28": LOGIN,
  "3D000": LOGIN,
  "42501": NOT_PERMITTED,
  "25006": NOT_PERMITTED,
  "53100": FULL,
  "53300": BUSY,
  "55P03": BUSY,
  "40001": BUSY,
  "40P01": BUSY,
  "58030": DISK,
  XX001: DAMAGED,
  XX002: DAMAGED,
  "22021": REFUSED,
  "23": REFUSED,
  P0001: REFUSED,
};

/** What the driver says when the connection broke and no server could give a code any more. */
const BROKEN = /^(Connection terminated|timeout exceeded when trying to connect|Client has encountered)/;

const SYSTEM = new Set([
  "ECONNREFUSED",
  "ECONNRESET",
  "ENOTFOUND",
  "EAI_AGAIN",
  "ETIMEDOUT",
  "EHOSTUNREACH",
  "ENETUNREACH",
  "EPIPE",
]);

/** A server that is on its way up or down: it is worth asking again. */
export function isAway(thrown: unknown): boolean {
  return thrown instanceof SamescaleError && thrown.code === "TABLES_UNREACHABLE";
}

/**
 * What server or driver say, as an error a person can act on. Anything else comes back as it is. The fault itself is
 * not kept as its cause: it may hold the connection's settings.
 */
export function asTablesError(thrown: unknown, name: string): unknown {
  const { code, message, syscall } = thrown as { code?: unknown; message?: unknown; syscall?: unknown };
  const answer = answerTo(String(code), String(message), syscall === "connect");
  if (answer === undefined) return thrown;
  return new SamescaleError(answer.code, `${answer.what}: ${name} (${String(message)})`, answer.help);
}

function answerTo(code: string, message: string, connecting: boolean): Answer | undefined {
  if (/^[0-9A-Z]{5}$/.test(code)) {
    const known = BY_STATE[code] ?? BY_STATE[code.slice(0, 2)];
    if (known !== undefined) return known;
  }
  if (connecting || SYSTEM.has(code) || BROKEN.test(message)) return UNREACHABLE;
  if (/certificate|SSL|TLS/i.test(`${code} ${message}`)) return NOT_SECURE;
  if (/password|SASL/.test(message)) return LOGIN;
  return undefined;
}
