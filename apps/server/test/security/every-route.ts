import type { Role } from "@samescale/desk";
import type { RouteOptions } from "fastify";
import { z } from "zod";

/** One route as the server added it, whoever wrote it. */
export interface Route {
  readonly method: "GET" | "POST" | "PUT" | "PATCH" | "DELETE" | "HEAD";
  readonly url: string;
  readonly open: boolean;
  readonly may: readonly Role[];
  readonly params: unknown;
  readonly query: unknown;
  readonly body: unknown;
}

/** Collects every route; those that answer HEAD beside GET are the same routes. */
export function collectRoutes(): {
  readonly routes: Route[];
  readonly onRoute: (route: RouteOptions) => void;
} {
  const routes: Route[] = [];
  return {
    routes,
    onRoute({ method, url, config, schema }) {
      for (const one of [method].flat()) {
        if (one === "HEAD" || one === "OPTIONS") continue;
        routes.push({
          method: one as Route["method"],
          url,
          open: config?.open === true,
          may: config?.may ?? [],
          params: schema?.params,
          query: schema?.querystring,
          body: schema?.body,
        });
      }
    },
  };
}

export const nameOf = ({ method, url }: Route): string => `${method} ${url}`;
export const isWrite = ({ method }: Route): boolean => method !== "GET";

/** The address of a route with these values in place of its parameters. */
export function addressOf({ url }: Route, value: (name: string) => string): string {
  return url.replace(/:(\w+)(\([^)]*\))?|\*/g, (_all, name: string | undefined) => value(name ?? "*"));
}

/** The least that fits what a route asks for, made from the schema that validates it. */
export function leastRequest(route: Route, text?: string): { url: string; payload: unknown } {
  const params = sampleOf(route.params, text) as Record<string, unknown> | undefined;
  const query = (sampleOf(route.query, text) ?? {}) as Record<string, unknown>;
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) search.set(name, String(value));
  const path = addressOf(route, (name) => encodeURIComponent(String(params?.[name] ?? text ?? "x")));
  return { url: search.size > 0 ? `${path}?${search}` : path, payload: sampleOf(route.body, text) };
}

/** The fields of a schema. */
export const namesIn = (schema: unknown): string[] =>
  schema instanceof z.ZodObject ? Object.keys(schema.shape) : [];

interface Shape {
  readonly type?: string | string[];
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly anyOf?: readonly Shape[];
  readonly oneOf?: readonly Shape[];
  readonly allOf?: readonly Shape[];
  readonly $ref?: string;
  readonly properties?: Readonly<Record<string, Shape>>;
  readonly required?: readonly string[];
  readonly items?: Shape;
  readonly minItems?: number;
  readonly prefixItems?: readonly Shape[];
  readonly minimum?: number;
  readonly exclusiveMinimum?: number;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly pattern?: string;
  readonly format?: string;
}

/** @param text tried first wherever a text is wanted */
function sampleOf(schema: unknown, text?: string): unknown {
  if (!(schema instanceof z.ZodType)) return undefined;
  return sample(z.toJSONSchema(schema, { io: "input", unrepresentable: "any" }) as Shape, text);
}

const TEXTS = [
  "x",
  "2026-03-15",
  "2026-03-15T12:00:00.000Z",
  "0b6cf2f3-7c0c-4b2e-9a53-5ef1f1d2a001",
  "0".repeat(64),
  "01J0000000000000000000000A",
  "0",
  "1",
  "0_0",
  "R7-1",
  "abc-def",
  "x".repeat(20),
];

function sample(shape: Shape, text?: string): unknown {
  if (shape.const !== undefined) return shape.const;
  if (shape.enum) return shape.enum[0];
  const [first] = shape.anyOf ?? shape.oneOf ?? shape.allOf ?? [];
  if (first) return sample(first, text);
  const type = [shape.type].flat()[0];
  if (type === "object" || shape.properties) {
    const needed = (shape.required ?? []).map((name) => [name, sample(shape.properties?.[name] ?? {}, text)]);
    return Object.fromEntries(needed);
  }
  if (type === "array") {
    if (shape.prefixItems) return shape.prefixItems.map((item) => sample(item, text));
    // One where there may be any, when it matters what is named.
    const count = shape.minItems ?? (text === undefined ? 0 : 1);
    return Array.from({ length: count }, () => sample(shape.items ?? {}, text));
  }
  if (type === "integer" || type === "number") {
    return shape.minimum ?? (shape.exclusiveMinimum === undefined ? 1 : shape.exclusiveMinimum + 1);
  }
  if (type === "boolean") return false;
  if (type === "null") return null;
  const tried = text === undefined ? TEXTS : [text, ...TEXTS];
  return tried.find((one) => fits(one, shape)) ?? "x";
}

const fits = (text: string, { pattern, minLength = 0, maxLength = text.length }: Shape): boolean =>
  text.length >= minLength &&
  text.length <= maxLength &&
  (pattern === undefined || new RegExp(pattern, "u").test(text));
