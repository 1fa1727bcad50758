import { asSamescaleError } from "@samescale/errors";
import { z } from "zod";

/**
 * A value as a person types it (`1:10`, `36x24`), read by a function of optics; its refusal, with what to do, is told as
 * a fault of the field. YAML takes a bare number for a number: it is read as it was typed.
 */
export const typed = <T>(read: (text: string) => T) =>
  z
    .union([z.string(), z.number().transform(String)], "expected text such as 1:10 or 36x24")
    .transform((text, context) => {
      try {
        return read(text);
      } catch (thrown) {
        const { message, help } = asSamescaleError(thrown, text);
        context.addIssue({ code: "custom", message: `${message}. ${help}` });
        return z.NEVER;
      }
    });
