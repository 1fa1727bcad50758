import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";

/** While the application is worked on: `npx vite apps/web`, beside `bin/samescale serve --port 8080`. */
const SERVER = process.env.SAMESCALE_SERVER ?? "http://127.0.0.1:8080";

export default defineConfig({
  plugins: [react()],
  html: { cspNonce: "NONCE-OF-THIS-ANSWER" },
  build: { target: "es2022", modulePreload: { polyfill: false }, assetsInlineLimit: 0 },
  server: { proxy: { "/api": SERVER } },
});
