import type { z } from "zod";

const TYPES: Readonly<Record<string, string>> = {
  string: "text",
  number: "a number",
  int: "a whole number",
  boolean: "true or false",
  array: "a list",
  object: "a group of fields",
  record: "a group of fields",
  null: "empty",
};
const UNITS: Readonly<Record<string, string>> = {
  string: "characters",
  array: "entries",
  set: "entries",
  map: "entries",
};

/**
 * What is wrong with a field, as a person would say it after the field's name: "must be a number". Null: nothing better is
 * known than what the schema says.
 */
export function fieldWords(issue: z.core.$ZodRawIssue): string | null {
  switch (issue.code) {
    case "invalid_type":
      if (issue.input === undefined) return "is missing";
      return `must be ${TYPES[issue.expected] ?? issue.expected}`;
    case "invalid_value": {
      const values = issue.values.map(String);
      return values.length === 1 ? `must be ${values[0]}` : `must be one of ${values.join(", ")}`;
    }
    case "too_small":
      return atLeast(issue);
    case "too_big":
      return atMost(issue);
    case "not_multiple_of":
      return `must be a multiple of ${issue.divisor}`;
    case "unrecognized_keys":
      return `${issue.keys.map((key: string) => JSON.stringify(key)).join(", ")} is not known here`;
    case "invalid_format":
      return "has another form than is wanted here";
    case "invalid_union":
      return "is none of what is allowed here";
    default:
      return null;
  }
}

function atLeast({
  origin,
  minimum,
  inclusive,
  exact,
}: z.core.$ZodRawIssue<z.core.$ZodIssueTooSmall>): string {
  const unit = UNITS[origin];
  if (unit === undefined)
    return inclusive === false ? `must be more than ${minimum}` : `must be ${minimum} or more`;
  if (exact) return `must have ${minimum} ${unit}`;
  return minimum === 1 ? "must not be empty" : `must have ${minimum} ${unit} or more`;
}

function atMost({ origin, maximum, inclusive, exact }: z.core.$ZodRawIssue<z.core.$ZodIssueTooBig>): string {
  const unit = UNITS[origin];
  if (unit === undefined)
    return inclusive === false ? `must be less than ${maximum}` : `must be ${maximum} or less`;
  return exact ? `must have ${maximum} ${unit}` : `must have ${maximum} ${unit} or fewer`;
}
