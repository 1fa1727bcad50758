import { useState } from "react";
import { Button } from "../../parts/button.tsx";
import { words } from "../../words/index.ts";
import css from "./custody.module.css";

/** A hash or a head as text that can be marked, and a button that copies it. */
export function Copyable({ text, label }: { readonly text: string; readonly label?: string }) {
  const [isCopied, setCopied] = useState(false);
  const copy = async () => {
    await navigator.clipboard?.writeText(text);
    setCopied(true);
  };
  return (
    <span className={css.copyable}>
      <code>{text}</code>
      <Button
        look="bare"
        aria-label={label ? `${words.parts.copy} ${label}` : words.parts.copy}
        onPress={() => void copy()}
      >
        {isCopied ? words.parts.copied : words.parts.copy}
      </Button>
    </span>
  );
}
