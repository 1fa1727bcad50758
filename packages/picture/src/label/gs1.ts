import type { Gs1Element } from "../answers.ts";

/** Symbols that carry GS1 content say so in their symbology identifier (ISO/IEC 15424). */
const GS1_SYMBOLS = ["]C1", "]e0", "]d2", "]Q3", "]J1"];
/** Ends an element of variable length (FNC1 in the symbol). */
const SEPARATOR = "\u001d";

/** Elements of these identifiers may stand before the next without a separator. */
const PREDEFINED_LENGTH = /^(0[0-4]|1[1-9]|20|3[1-6]|41)/;
/** How the others end; wristband printers leave the separator out before the instance number. */
const ENDS = /^(\u001d|8019|$)/;

interface Kind {
  readonly name: string;
  /** Digits that come first, and whether the last of them is a check digit. */
  readonly digits: number;
  readonly isChecked?: true;
  /** At most so many characters behind them; digits only where `isNumber`. */
  readonly more?: number;
  readonly isNumber?: true;
}

const key = (name: string, digits: number, more = 0): Kind => ({ name, digits, isChecked: true, more });
const text = (name: string, more: number): Kind => ({ name, digits: 0, more });
const day = (name: string): Kind => ({ name, digits: 6 });
const upTo = (name: string, more: number): Kind => ({ name, digits: 0, more, isNumber: true });

/** Application identifiers, with plain names. Those that are not here are said, never guessed at. */
const KINDS: Readonly<Record<string, Kind>> = {
  "00": key("serial number of a shipping unit", 18),
  "01": key("trade item number", 14),
  "02": key("number of the trade items inside", 14),
  "10": text("batch", 20),
  "11": day("made on"),
  "12": day("payment due on"),
  "13": day("packed on"),
  "15": day("best before"),
  "16": day("sell by"),
  "17": day("use by"),
  "20": { name: "variant", digits: 2 },
  "21": text("serial number", 20),
  "22": text("consumer variant", 20),
  "30": upTo("count of items", 8),
  "37": upTo("count of items inside", 8),
  "240": text("further product identification", 30),
  "241": text("customer's part number", 30),
  "242": upTo("made-to-order variant", 6),
  "243": text("packaging component", 20),
  "250": text("second serial number", 30),
  "251": text("source it comes from", 30),
  "253": key("document type", 13, 17),
  "254": text("part of the location", 20),
  "400": text("customer's order number", 30),
  "401": text("consignment", 30),
  "402": key("shipment", 17),
  "403": text("route", 30),
  "410": key("ship to", 13),
  "411": key("bill to", 13),
  "412": key("bought from", 13),
  "413": key("ship for", 13),
  "414": key("location", 13),
  "415": key("invoicing party", 13),
  "416": key("production location", 13),
  "417": key("party", 13),
  "8004": text("individual asset", 30),
  "8017": key("service relation of the provider", 18),
  "8018": key("service relation of the recipient", 18),
  "8019": upTo("instance of the service relation", 10),
  "8020": text("payment slip", 25),
  "90": text("agreed between partners", 30),
};

/**
 * The element strings of a GS1 symbol, split by their application identifiers, check digits verified; what cannot be
 * split is left out and said. Null: the symbol does not say that its content is GS1's.
 *
 * @source Gs1GenSpecs
 * @source ISO18530
 */
export function gs1Elements(
  content: string,
  aim: string,
): { readonly elements: readonly Gs1Element[]; readonly warnings: readonly string[] } | null {
  if (!GS1_SYMBOLS.includes(aim)) return null;
  const elements: Gs1Element[] = [];
  const warnings: string[] = [];
  let rest = content.replace(/^\u001d/, "");
  while (rest !== "") {
    const ai = [2, 3, 4].map((length) => rest.slice(0, length)).find((start) => KINDS[start] !== undefined);
    if (ai === undefined) {
      // An identifier that is not known may be of fixed length: only what is in front of it is sure.
      warnings.push(`GS1 content is split up to an application identifier that is not known: "${rest}".`);
      break;
    }
    const element = elementOf(ai, rest.slice(ai.length));
    if (element === null) {
      warnings.push(
        `GS1 content is split up to identifier ${ai}, whose value is not as it should be: "${rest}".`,
      );
      break;
    }
    if (element.checkDigit === "wrong") warnings.push(`The check digit of GS1 identifier ${ai} is wrong.`);
    elements.push(element);
    rest = rest.slice(ai.length + element.value.length).replace(/^\u001d/, "");
  }
  return { elements, warnings };
}

function elementOf(ai: string, rest: string): Gs1Element | null {
  const { name, digits, isChecked, more = 0, isNumber } = KINDS[ai] as Kind;
  const first = rest.slice(0, digits);
  if (first.length < digits || !/^[0-9]*$/.test(first)) return null;
  const behind = more > 0 ? (rest.slice(digits).split(SEPARATOR, 1)[0] as string) : "";
  if (behind.length > more || (digits === 0 && behind === "")) return null;
  if (!(isNumber ? /^[0-9]*$/ : /^[!-z]*$/).test(behind)) return null;
  const isApart = PREDEFINED_LENGTH.test(ai) || ENDS.test(rest.slice(digits + behind.length));
  if (!isApart) return null;
  const checkDigit = isChecked ? (isCheckRight(first) ? "right" : "wrong") : null;
  return { ai, name, value: first + behind, checkDigit };
}

/** Weights 3 and 1 in turn, from the right of the body. */
function isCheckRight(digits: string): boolean {
  const sum = [...digits]
    .reverse()
    .reduce((total, digit, i) => total + Number(digit) * (i % 2 === 0 ? 1 : 3), 0);
  return sum % 10 === 0;
}
