import { Button } from "../../../parts/button.tsx";
import { Choice, Choices } from "../../../parts/choice.tsx";
import { words } from "../../../words/index.ts";
import css from "./mask.module.css";
import { TOOLS, type Tool } from "./use-drawing.ts";

const { mask: say } = words.release;

export interface ToolBarProps {
  readonly kinds: readonly string[];
  readonly tool: Tool;
  readonly kind: string;
  readonly isPreview: boolean;
  readonly isBusy: boolean;
  readonly canClose: boolean;
  readonly canUndo: boolean;
  readonly onTool: (tool: Tool) => void;
  readonly onKind: (kind: string) => void;
  readonly onClose: () => void;
  readonly onUndo: () => void;
  readonly onPreview: () => void;
}

/** What is drawn and how, below the picture. */
export function ToolBar(props: ToolBarProps) {
  const { tool, kind, kinds, isPreview, isBusy, canClose, canUndo } = props;
  return (
    <div className={css.tools}>
      {!isPreview && (
        <>
          <Choices
            label={say.tool}
            options={TOOLS.map((value) => ({ value, label: say.tools[value] }))}
            value={tool}
            onChange={props.onTool}
            hint={say.toolHelp[tool]}
          />
          <Choice label={say.kind} options={kindOptions(kinds)} value={kind} onChange={props.onKind} />
        </>
      )}
      <div className={css.toolButtons}>
        {canClose && <Button onPress={props.onClose}>{say.closeShape}</Button>}
        {!isPreview && (
          <Button isDisabled={!canUndo} onPress={props.onUndo}>
            {say.undo}
          </Button>
        )}
        <Button isDisabled={isBusy} onPress={props.onPreview}>
          {isPreview ? say.drawOn : say.preview}
        </Button>
      </div>
    </div>
  );
}

/** That a bar over the eyes is no mask the desk says, with the reason, to whoever asks for one. */
export const kindOptions = (kinds: readonly string[]) =>
  [...kinds, "eyes"].map((value) => ({ value, label: say.kinds[value] ?? value }));
