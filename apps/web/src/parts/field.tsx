import {
  FieldError,
  Input,
  Label,
  Text,
  TextArea,
  TextField,
  type TextFieldProps,
} from "react-aria-components";
import css from "./parts.module.css";

export interface FieldProps extends Omit<TextFieldProps, "className" | "children"> {
  readonly label: string;
  /** What belongs into it, with its unit. */
  readonly hint?: string | undefined;
  /** What is wrong with it. */
  readonly problem?: string | null;
  readonly lines?: number;
  /** An example of what is typed; what belongs there is said by the hint. */
  readonly placeholder?: string;
  readonly autoCapitalize?: "none" | "words";
}

/** A field to type in, with its label above it, never inside. */
export function Field({ label, hint, problem, lines, ...rest }: FieldProps) {
  return (
    <TextField {...rest} isInvalid={Boolean(problem)} className={css.field ?? ""}>
      <Label>{label}</Label>
      {lines ? <TextArea rows={lines} className={css.input ?? ""} /> : <Input className={css.input ?? ""} />}
      {hint && (
        <Text slot="description" className={css.hint ?? ""}>
          {hint}
        </Text>
      )}
      <FieldError className={css.problemText ?? ""}>{problem}</FieldError>
    </TextField>
  );
}
