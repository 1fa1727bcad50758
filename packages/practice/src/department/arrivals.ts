import { z } from "zod";

/**
 * A folder into which a camera, a card reader or a wireless receiver puts frames while they are made. Where several people
 * work with one server, frames are watched in these folders and below them, and nowhere else.
 */
export const arrivalSchema = z.strictObject({
  /** As people call it: "Receiver of ward 3". */
  name: z.string().min(1).max(60),
  /** A relative one counts from the library. */
  path: z
    .string()
    .min(1)
    .max(1000)
    .refine((text) => text.trim() === text && !/\p{Cc}/u.test(text), "expected the path of a folder"),
});

export type Arrival = z.output<typeof arrivalSchema>;
