import "@fontsource-variable/atkinson-hyperlegible-next";
import { QueryClient, QueryClientProvider } from "@tanstack/react-query";
import { StrictMode } from "react";
import { RouterProvider } from "react-aria-components";
import { createRoot } from "react-dom/client";
import { useLocation } from "wouter";
import { Refused } from "./api/client.ts";
import { FaultBoundary } from "./shell/fault-boundary.tsx";
import { tellFaults } from "./shell/faults.ts";
import { keepShell } from "./shell/offline.ts";
import { placeAt } from "./shell/places.ts";
import { beginSession, Session } from "./shell/session.tsx";
import { Shell } from "./shell/shell.tsx";
import "./style/tokens.css";
import "./style/base.css";

const client = new QueryClient({
  defaultOptions: {
    queries: {
      staleTime: 30_000,
      // What was refused stays refused; a lost connection comes back.
      retry: (count, thrown) => thrown instanceof Refused && thrown.status === 0 && count < 5,
    },
  },
});

/** Links of the component library lead through our addresses. */
function Application() {
  const [, go] = useLocation();
  return (
    <RouterProvider navigate={(path) => go(path)}>
      <Session>
        <Shell />
      </Session>
    </RouterProvider>
  );
}

tellFaults();
keepShell();

// Both at once; what does not come is told by whoever needs it.
await Promise.allSettled([beginSession(client), placeAt(location.pathname)?.bring()]);

createRoot(document.getElementById("application")!).render(
  <StrictMode>
    <QueryClientProvider client={client}>
      <FaultBoundary>
        <Application />
      </FaultBoundary>
    </QueryClientProvider>
  </StrictMode>,
);
