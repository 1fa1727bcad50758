import { type ButtonProps, Button as Pressable } from "react-aria-components";
import css from "./parts.module.css";

export type ButtonLook = "plain" | "chief" | "bare";

/** Something that acts. `chief`: the one act that this place is for. */
export function Button({
  look = "plain",
  ...rest
}: Omit<ButtonProps, "className"> & { readonly look?: ButtonLook }) {
  return <Pressable {...rest} className={`${css.button} ${css[look]}`} />;
}
