import { z } from "zod";

/** Wide enough for whatever somebody types by mistake; what it must be, the desk says in words. */
export const login = z.string().max(100);
export const password = z.string().max(1000);
export const because = z.string().max(1000);
export const loginParams = z.object({ login });
