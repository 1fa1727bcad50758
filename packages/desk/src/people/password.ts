import { randomBytes } from "node:crypto";
import { hash, parseOptions, verify } from "@node-rs/argon2";

/** What one guess costs: memory in KiB, passes over it, lanes. */
export interface PasswordCost {
  readonly memoryKiB: number;
  readonly passes: number;
  readonly lanes: number;
}

/**
 * The second recommended option for all uses; more than the least that OWASP's cheat sheet asks for (19 MiB, 2 passes,
 * 1 lane). Raised: passwords are hashed anew when their person signs in.
 * @source Rfc9106 section 4
 * @source OwaspPasswords
 */
export const PASSWORD_COST: PasswordCost = { memoryKiB: 65_536, passes: 3, lanes: 4 };

/** Every character as one code point: length is what a person counts, not what it takes to store it. */
const LEAST_CHARACTERS = 12;
/** Bounds what a stranger can have us work on; four times what anybody types. */
const MOST_BYTES = 256;

/**
 * The same characters typed on another keyboard or system are the same password.
 * @source Sp800-63B section 5.1.1.2 (NFKC or NFKD before hashing)
 */
const normalised = (password: string): string => password.normalize("NFKC");

/** Why this cannot be their password; null: it can. The password itself is in no answer. */
export function faultOfPassword(password: string, login: string): string | null {
  const text = normalised(password);
  if (!text.isWellFormed() || /\p{Cc}/u.test(text))
    return "A password is made of characters that can be typed";
  if ([...text].length < LEAST_CHARACTERS) {
    return `A password has at least ${LEAST_CHARACTERS} characters; several words are easier to keep than few signs`;
  }
  if (Buffer.byteLength(text) > MOST_BYTES) return `A password has at most ${MOST_BYTES} bytes`;
  if (new Set(text).size < 5) return "A password has at least five different characters";
  if (text.toLowerCase().includes(login)) return "A password does not hold the name that one signs in with";
  return null;
}

/** As kept: Argon2id with a salt of its own, as a PHC string. */
export async function hashPassword(password: string, cost = PASSWORD_COST): Promise<string> {
  return await oneOfFew(() => hash(normalised(password), optionsOf(cost)));
}

/**
 * Whether it is the password. Without one to compare with the same work is done, so that the time tells nothing of who
 * has an account; what is too long to be anybody's is not hashed.
 */
export async function isPassword(
  kept: string | null,
  password: string,
  cost = PASSWORD_COST,
): Promise<boolean> {
  const text = normalised(password);
  const typed = Buffer.byteLength(text) <= MOST_BYTES ? text : "";
  const known = kept ?? (await nobodys(cost));
  const holds = await oneOfFew(() => verify(known, typed));
  return holds && kept !== null && typed !== "";
}

/** Made with less work than today's. */
export function isTooCheap(kept: string, cost = PASSWORD_COST): boolean {
  const { memoryCost, timeCost, parallelism } = parseOptions(kept);
  return memoryCost < cost.memoryKiB || timeCost < cost.passes || parallelism < cost.lanes;
}

/** `Algorithm.Argon2id`; it is a `const enum`, which Node cannot import. */
const ARGON2ID = 2;

const optionsOf = ({ memoryKiB, passes, lanes }: PasswordCost) => ({
  algorithm: ARGON2ID,
  memoryCost: memoryKiB,
  timeCost: passes,
  parallelism: lanes,
});

/** The password of somebody who is not there, by cost; made once. */
const strangers = new Map<string, Promise<string>>();

function nobodys(cost: PasswordCost): Promise<string> {
  const key = JSON.stringify(cost);
  const known = strangers.get(key) ?? hashPassword(randomBytes(32).toString("base64url"), cost);
  strangers.set(key, known);
  return known;
}

/** Bounds the memory that strangers can make us take: two at a time. */
const AT_ONCE = 2;
let running = 0;
const waiting: (() => void)[] = [];

async function oneOfFew<T>(work: () => Promise<T>): Promise<T> {
  if (running >= AT_ONCE) await new Promise<void>((resolve) => waiting.push(resolve));
  else running++;
  try {
    return await work();
  } finally {
    const next = waiting.shift();
    if (next) next();
    else running--;
  }
}
