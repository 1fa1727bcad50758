import type { Role } from "@samescale/server";
import { Choice } from "../../../parts/choice.tsx";
import { words } from "../../../words/index.ts";

const { people: say } = words.practice;

/** A role, and what it means, beside it. */
export function ChooseRole({
  role,
  onChange,
}: {
  readonly role: Role;
  readonly onChange: (role: Role) => void;
}) {
  return (
    <Choice
      label={say.role}
      options={Object.entries(say.roles).map(([value, [label, hint]]) => ({
        value: value as Role,
        label,
        hint,
      }))}
      value={role}
      onChange={onChange}
      hint={say.roles[role][1]}
    />
  );
}
