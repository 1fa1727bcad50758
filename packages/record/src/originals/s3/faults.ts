import { SamescaleError } from "@samescale/errors";

interface Said {
  readonly name?: unknown;
  readonly code?: unknown;
  readonly syscall?: unknown;
  readonly $metadata?: { readonly httpStatusCode?: number };
}

export const statusOf = (thrown: unknown): number | undefined => (thrown as Said).$metadata?.httpStatusCode;

/** The store holds nothing under this key; another 404 says that the bucket is not there. */
export const isNoSuchKey = (thrown: unknown): boolean =>
  statusOf(thrown) === 404 && (thrown as Said).name !== "NoSuchBucket";

/** The store does not know this kind of request; it says so in one of two ways. */
export const isNotKnown = (thrown: unknown): boolean => [405, 501].includes(statusOf(thrown) ?? 0);

const NETWORK =
  /^(ECONN|ENOTFOUND|EAI_AGAIN|ETIMEDOUT|EHOSTUNREACH|ENETUNREACH|EPIPE|TimeoutError|ERR_STREAM_PREMATURE_CLOSE)/;

/**
 * What the store says, as an error a person can act on. Only its name and number are repeated, and the fault itself is
 * not kept as the cause: it may hold keys and signatures.
 *
 * @source S3 API reference, "Error responses"
 */
export function asStoreError(thrown: unknown, place: string): unknown {
  if (thrown instanceof SamescaleError) return thrown;
  const said = thrown as Said;
  const status = statusOf(thrown);
  const name = String(said.code ?? said.name ?? "");
  const about = (what: string) =>
    `${what}: ${place} (${[said.name, said.code, status].filter(Boolean).join(", ")})`;
  if (said.name === "NoSuchBucket") {
    return new SamescaleError(
      "STORE_MISSING",
      about("The store has no such bucket"),
      "Check the bucket's name (for a library in places.json), or have it made.",
    );
  }
  if (/Quota|StorageFull|InsufficientStorage/.test(name) || status === 507) {
    return new SamescaleError(
      "DISK_FULL",
      about("The store is full"),
      "Have space freed and run the same command again.",
    );
  }
  if (status === 401 || status === 403) {
    return new SamescaleError(
      "STORE_REFUSED",
      about("The store does not let us do that"),
      "Check the key and the secret that were given for it, and its rights (docs/department.md lists both).",
    );
  }
  const isNetwork = NETWORK.test(name) || said.syscall === "connect" || /certificate|CERT/i.test(name);
  if (isNetwork || status === undefined || status >= 500 || status === 408 || status === 429) {
    if (status === undefined && !isNetwork && said.$metadata === undefined) return thrown;
    return new SamescaleError(
      "STORE_UNREACHABLE",
      about("The store does not answer"),
      "Check that it runs and that the network reaches it, then run the same command again; what was said to be stored is stored.",
    );
  }
  return new SamescaleError(
    "STORE_REFUSED",
    about("The store refused a request"),
    "Please report it with this message; nothing was changed.",
  );
}
