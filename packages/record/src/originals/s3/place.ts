import { SamescaleError } from "@samescale/errors";

/** Where an S3-compatible store is, and as whom we come. */
export interface S3Place {
  readonly endpoint: string;
  readonly bucket: string;
  /** In front of every key: empty, or ending with a slash. */
  readonly prefix: string;
  readonly region: string;
  /** `https://host/bucket/key` instead of `https://bucket.host/key`. */
  readonly pathStyle: boolean;
  /** Older servers refuse the header with the SHA-256 of what comes; it is read back and compared in any case. */
  readonly sendChecksums: boolean;
  readonly key: string;
  readonly secret: string;
}

export interface S3Address {
  /** `s3://BUCKET` or `s3://BUCKET/PREFIX`. */
  readonly originals: string;
  readonly endpoint: string;
  readonly region?: string;
  readonly pathStyle?: boolean;
  readonly sendChecksums?: boolean;
  /** Pictures may cross a network unencrypted. */
  readonly allowPlainHttp?: boolean;
}

/** How a store is spoken to, without what is meant in it. */
export type S3Store = Omit<S3Address, "originals">;

/**
 * @param field for messages: what the address is called where it was given
 * @throws SamescaleError PLACES_INVALID; its message never repeats an address, which may hold a secret
 */
export function s3Place(
  address: S3Address,
  { key, secret }: { key: string; secret: string },
  field = "originals",
): S3Place {
  const parts = /^s3:\/\/([a-z0-9][a-z0-9.-]{1,61}[a-z0-9])(?:\/([A-Za-z0-9/_.-]*))?$/.exec(
    address.originals,
  );
  if (parts === null) throw invalid(field, "is not an address such as s3://clinical-photographs/main");
  const endpoint = URL.canParse(address.endpoint) ? new URL(address.endpoint) : null;
  if (endpoint === null || !["http:", "https:"].includes(endpoint.protocol)) {
    throw invalid("endpoint", "is not an address such as https://objects.hospital.example");
  }
  if (endpoint.username !== "" || endpoint.password !== "" || endpoint.search !== "") {
    throw invalid("endpoint", "holds more than scheme, host and port; keys belong into the environment");
  }
  const isNear = /^(localhost|127\.[\d.]+|\[::1\])$/.test(endpoint.hostname);
  if (endpoint.protocol === "http:" && !isNear && address.allowPlainHttp !== true) {
    throw invalid("endpoint", "is not encrypted: pictures would cross the network readable by anyone");
  }
  const prefix = (parts[2] ?? "").split("/").filter((part) => part !== "");
  if (prefix.some((part) => part === "." || part === "..")) throw invalid(field, "has . or .. in it");
  return {
    endpoint: endpoint.origin,
    bucket: parts[1] as string,
    prefix: prefix.map((part) => `${part}/`).join(""),
    region: address.region ?? "us-east-1",
    pathStyle: address.pathStyle ?? true,
    sendChecksums: address.sendChecksums ?? true,
    key,
    secret,
  };
}

/** For messages. */
export const sayS3Place = ({ endpoint, bucket, prefix }: S3Place) =>
  `s3://${bucket}/${prefix} at ${endpoint}`;

function invalid(field: string, what: string): SamescaleError {
  return new SamescaleError(
    "PLACES_INVALID",
    `The field ${field} ${what}`,
    "Correct it; docs/department.md has an example.",
  );
}
