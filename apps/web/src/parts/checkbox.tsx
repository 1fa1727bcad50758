import { type CheckboxProps, Checkbox as Ticked } from "react-aria-components";
import css from "./parts.module.css";

export function Checkbox({
  children,
  ...rest
}: Omit<CheckboxProps, "className" | "children"> & { readonly children: React.ReactNode }) {
  return (
    <Ticked {...rest} className={css.checkbox ?? ""}>
      <span className={css.box} aria-hidden="true" />
      <span>{children}</span>
    </Ticked>
  );
}
