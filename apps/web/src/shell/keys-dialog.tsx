import { useState } from "react";
import { Checkbox } from "../parts/checkbox.tsx";
import { Dialog } from "../parts/dialog.tsx";
import { words } from "../words/index.ts";
import { singleKeys, useKeyGroups, useKeys } from "./keys.ts";
import css from "./shell.module.css";

/** `?`: the keys of this place. */
export function KeysDialog() {
  const [isOpen, setOpen] = useState(false);
  const groups = useKeyGroups();
  useKeys(words.shell.everywhere, [{ key: "?", does: words.shell.keysKey, run: () => setOpen(true) }]);
  return (
    <Dialog title={words.shell.keys} isOpen={isOpen} onClose={() => setOpen(false)}>
      {[...new Set(groups.map(({ title }) => title))].reverse().map((title) => (
        <section key={title}>
          <h3>{title}</h3>
          <dl className={css.keys}>
            {groups
              .filter((group) => group.title === title)
              .flatMap(({ keys }) => keys)
              .map(({ key, does }) => (
                <div key={key + does}>
                  <dt>
                    <kbd>{words.shell.keyNames[key] ?? key}</kbd>
                  </dt>
                  <dd>{does}</dd>
                </div>
              ))}
          </dl>
        </section>
      ))}
      <Checkbox isSelected={singleKeys.areOn()} onChange={(on) => singleKeys.turn(on)}>
        {words.shell.singleKeys}
      </Checkbox>
    </Dialog>
  );
}
