import { SamescaleError } from "@samescale/errors";
import { ordersOfFhir } from "./fhir-orders.ts";
import { ordersOfHl7 } from "./hl7/orders.ts";
import type { ReadOrder } from "./incoming-order.ts";

/** A day's orders of a large hospital are a few megabytes; a file beyond this is something else. */
const MOST_BYTES = 50_000_000;

/**
 * The orders in a file, FHIR R4 (JSON) or HL7 version 2, whichever it is by its content.
 * @throws SamescaleError ORDER_FILE_UNREADABLE
 */
export function ordersOfFile(bytes: Uint8Array): readonly ReadOrder[] {
  if (bytes.byteLength > MOST_BYTES) throw unreadable(`It is larger than ${MOST_BYTES / 1e6} MB`);
  const text = textOf(bytes);
  const begin = text.trimStart();
  if (begin.startsWith("{") || begin.startsWith("[")) return ordersOfFhir(jsonOf(text));
  if (/^(?:\u000b|FHS|BHS|MSH)/.test(begin)) return ordersOfHl7(text);
  throw unreadable("It begins neither as JSON nor as an HL7 message");
}

/** UTF-8, else Latin-1 where the message says that it is written so (MSH-18). */
function textOf(bytes: Uint8Array): string {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    const latin = new TextDecoder("latin1").decode(bytes);
    const [header = ""] = latin.split(/\r|\n/, 1);
    if (header.split("|")[17] === "8859/1") return latin;
    throw unreadable("It is not UTF-8 and does not say what else it is (MSH-18)");
  }
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (thrown) {
    throw unreadable(`It is not JSON: ${(thrown as Error).message.slice(0, 120)}`);
  }
}

const unreadable = (why: string) =>
  new SamescaleError(
    "ORDER_FILE_UNREADABLE",
    why,
    "Ask the system that sends orders for FHIR R4 JSON or HL7 version 2 text; the file was left as it is.",
  );
