import { SamescaleError } from "@samescale/errors";

/** Where a PostgreSQL database is, and as whom we come. */
export interface PostgresPlace {
  /** A name, an address, or the folder of a Unix socket. */
  readonly host: string;
  readonly port: number;
  readonly database: string;
  readonly user: string;
  /** Never from the address: from the environment or a file that only its owner reads. */
  readonly password: string | null;
  /** `verify`: encrypted, the server proves who it is. `encrypt`: encrypted. `plain`: neither. */
  readonly tls: "verify" | "encrypt" | "plain";
  /** File with the authority that signed the server's certificate; null: the ones that Node knows. */
  readonly authorityFile: string | null;
}

const TLS: Readonly<Record<string, PostgresPlace["tls"]>> = {
  "verify-full": "verify",
  require: "encrypt",
  disable: "plain",
};

/**
 * `postgresql://USER@HOST:PORT/DATABASE`; `?host=/FOLDER` for a Unix socket; `sslmode` (verify-full, require,
 * disable) and `sslrootcert` as libpq calls them. Over a network the server must prove who it is unless `sslmode`
 * says otherwise.
 *
 * @throws SamescaleError PLACES_INVALID; its message never repeats the address, which may hold a password
 * @source PostgreSQL manual 34.1.1.2, connection URIs
 */
export function postgresPlace(address: string, password: string | null): PostgresPlace {
  const url = URL.canParse(address) ? new URL(address) : null;
  if (url === null || !["postgresql:", "postgres:"].includes(url.protocol)) {
    throw invalid("is not an address such as postgresql://samescale@db.hospital.example/samescale");
  }
  if (url.password !== "") {
    throw invalid("holds a password", "Take it out of the address; give it as $SAMESCALE_TABLES_PASSWORD.");
  }
  const database = decodeURIComponent(url.pathname.slice(1));
  const user = decodeURIComponent(url.username);
  const host = url.searchParams.get("host") ?? url.hostname.replace(/^\[|\]$/g, "");
  if (database === "" || database.includes("/") || user === "" || host === "") {
    throw invalid("lacks its user, host or database");
  }
  const mode = url.searchParams.get("sslmode");
  const tls = mode === null ? (isNear(host) ? "plain" : "verify") : TLS[mode];
  if (tls === undefined) throw invalid("has an sslmode other than verify-full, require and disable");
  for (const name of url.searchParams.keys()) {
    if (!["host", "sslmode", "sslrootcert"].includes(name)) throw invalid("has an option that is not known");
  }
  const authorityFile = url.searchParams.get("sslrootcert");
  return { host, port: Number(url.port || 5432), database, user, password, tls, authorityFile };
}

/** For messages: without user and password. */
export function sayPostgresPlace({ host, port, database }: PostgresPlace): string {
  return host.startsWith("/") ? `the database ${database} in ${host}` : `${host}:${port}/${database}`;
}

/** Nothing on this machine's own socket or loopback can be overheard on a network. */
const isNear = (host: string) =>
  host.startsWith("/") || host === "localhost" || host === "::1" || /^127\./.test(host);

function invalid(what: string, help?: string): SamescaleError {
  return new SamescaleError(
    "PLACES_INVALID",
    `The address of the tables ${what}`,
    help ?? "Correct it; docs/department.md has an example.",
  );
}
