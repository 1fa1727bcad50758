import { ToggleButton, ToggleButtonGroup } from "react-aria-components";
import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import css from "../measure.module.css";
import type { ToolSettings } from "./tool.ts";
import { TOOLS, type ToolName } from "./tools.ts";

const w = words.measure.tools;

interface ToolRowProps {
  readonly tool: ToolName;
  readonly onTool: (tool: ToolName) => void;
  readonly settings: ToolSettings;
  readonly onSettings: (settings: ToolSettings) => void;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  readonly onUndo: () => void;
  readonly onRedo: () => void;
}

/** The outline tools above the picture: nothing of them lies over it. */
export function ToolRow(props: ToolRowProps) {
  const { tool, onTool, settings, onSettings } = props;
  return (
    <div className={css.toolRow} role="toolbar" aria-label={w.title}>
      <ToggleButtonGroup
        className={css.group ?? ""}
        aria-label={w.title}
        disallowEmptySelection
        selectedKeys={[tool]}
        onSelectionChange={(keys) => onTool([...keys][0] as ToolName)}
      >
        {TOOLS.map((name) => (
          <ToggleButton key={name} id={name} className={css.toggle ?? ""}>
            {w.tools[name]}
          </ToggleButton>
        ))}
      </ToggleButtonGroup>
      {tool !== "box" && (
        <ToggleButtonGroup
          className={css.group ?? ""}
          aria-label={w.which}
          disallowEmptySelection
          selectedKeys={[settings.inside ? "adds" : "takes"]}
          onSelectionChange={(keys) => onSettings({ ...settings, inside: [...keys][0] === "adds" })}
        >
          <ToggleButton id="adds" className={css.toggle ?? ""}>
            <Mark isFilled /> {w.adds}
          </ToggleButton>
          <ToggleButton id="takes" className={css.toggle ?? ""}>
            <Mark isFilled={false} /> {w.takes}
          </ToggleButton>
        </ToggleButtonGroup>
      )}
      <div className={css.undo}>
        <Button isDisabled={!props.canUndo} onPress={props.onUndo}>
          {w.undo}
        </Button>
        <Button isDisabled={!props.canRedo} onPress={props.onRedo}>
          {w.redo}
        </Button>
      </div>
    </div>
  );
}

/** How wide the brush is. @param said on the skin, or in px without a scale */
export function BrushSize({ said, onBrush }: { said: string; onBrush(factor: number): void }) {
  return (
    <div className={css.brush}>
      <Button look="bare" aria-label={w.smaller} onPress={() => onBrush(1 / 1.25)}>
        −
      </Button>
      <output aria-label={w.brushSize}>{said}</output>
      <Button look="bare" aria-label={w.larger} onPress={() => onBrush(1.25)}>
        +
      </Button>
    </div>
  );
}

/** As such a point is drawn on the picture. */
function Mark({ isFilled }: { readonly isFilled: boolean }) {
  return (
    <svg viewBox="0 0 12 12" className={css.mark} aria-hidden="true">
      {isFilled ? (
        <circle cx="6" cy="6" r="5" fill="currentColor" />
      ) : (
        <circle cx="6" cy="6" r="4" fill="none" stroke="currentColor" strokeWidth="2.4" />
      )}
    </svg>
  );
}
