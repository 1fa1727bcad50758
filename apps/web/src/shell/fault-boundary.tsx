import { Component, type ReactNode } from "react";
import { reportFrom } from "../api/client.ts";
import { Button } from "../parts/button.tsx";
import { Problem } from "../parts/problem.tsx";
import { words } from "../words/index.ts";
import { PlaceFrame } from "./place-frame.tsx";

/** A fault of a place is told to the person, with a way on; the other places go on working. */
export class FaultBoundary extends Component<{ readonly children: ReactNode }, { thrown: unknown }> {
  override state = { thrown: null as unknown };
  static getDerivedStateFromError(thrown: unknown) {
    return { thrown };
  }
  override render() {
    if (this.state.thrown === null) return this.props.children;
    return (
      <PlaceFrame title={words.shell.broken}>
        <Problem report={reportFrom(this.state.thrown)} />
        <p>
          <Button look="chief" onPress={() => location.reload()}>
            {words.shell.reload}
          </Button>
        </p>
      </PlaceFrame>
    );
  }
}
