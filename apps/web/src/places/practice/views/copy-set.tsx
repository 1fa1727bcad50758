import type { PracticeChanged, ViewSetToEdit } from "@samescale/server";
import { useState } from "react";
import { useLocation } from "wouter";
import { ask } from "../../../api/client.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { usePracticeChange } from "../use-practice-change.ts";

const { views: say } = words.practice;

/** A set of one's own that begins as a copy. */
export function CopySet(props: {
  readonly from: ViewSetToEdit;
  readonly isOpen: boolean;
  readonly onClose: () => void;
}) {
  const { from, isOpen, onClose } = props;
  const [key, setKey] = useState(`${from.key}-own`);
  const [name, setName] = useState(`${from.name}, own`);
  const [, go] = useLocation();
  const copy = usePracticeChange(
    () => ask<PracticeChanged>("POST", "/practice/view-sets", { from: from.key, key, name }),
    () => say.copied,
  );
  const isKey = /^[a-z0-9-]{1,40}$/.test(key);
  return (
    <Dialog title={say.copyTitle} isOpen={isOpen} onClose={onClose}>
      <form
        className={css.section}
        onSubmit={(event) => {
          event.preventDefault();
          copy.mutate(undefined, {
            onSuccess: () => {
              onClose();
              go(`/practice/views/${key}`);
            },
          });
        }}
      >
        <p>{say.copySays(from.name)}</p>
        <Field label={say.name} value={name} onChange={setName} maxLength={80} autoFocus />
        <Field
          label={say.key}
          value={key}
          onChange={setKey}
          maxLength={40}
          hint={say.keyHint}
          problem={isKey ? null : say.keyHint}
        />
        <p className={css.row}>
          <Button type="submit" look="chief" isDisabled={copy.isPending || !isKey || name.trim() === ""}>
            {say.copyTitle}
          </Button>
          <Button onPress={onClose}>{words.practice.cancel}</Button>
        </p>
      </form>
    </Dialog>
  );
}
