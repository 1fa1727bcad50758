export { buildApp, type Pages } from "./app.ts";
