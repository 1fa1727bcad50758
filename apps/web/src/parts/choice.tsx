import {
  Button,
  FieldError,
  Label,
  ListBox,
  ListBoxItem,
  Popover,
  Radio,
  RadioGroup,
  Select,
  SelectValue,
  Text,
} from "react-aria-components";
import { words } from "../words/index.ts";
import css from "./parts.module.css";

export interface Option<Value extends string = string> {
  readonly value: Value;
  readonly label: string;
  readonly hint?: string;
}

interface ChoiceProps<Value extends string> {
  readonly label: string;
  readonly options: readonly Option<Value>[];
  readonly value: Value | null;
  readonly onChange: (value: Value) => void;
  readonly hint?: string;
  readonly problem?: string | null;
  readonly isDisabled?: boolean;
}

/** One of many, in a list that opens. */
export function Choice<Value extends string>(props: ChoiceProps<Value>) {
  const { label, options, value, onChange, hint, problem, isDisabled } = props;
  return (
    <Select
      className={css.field ?? ""}
      selectedKey={value}
      placeholder={words.parts.choose}
      onSelectionChange={(key) => key !== null && onChange(key as Value)}
      isInvalid={Boolean(problem)}
      isDisabled={isDisabled ?? false}
    >
      <Label>{label}</Label>
      <Button className={`${css.input} ${css.select}`}>
        <SelectValue />
        <span aria-hidden="true">▾</span>
      </Button>
      {hint && (
        <Text slot="description" className={css.hint ?? ""}>
          {hint}
        </Text>
      )}
      <FieldError className={css.problemText ?? ""}>{problem}</FieldError>
      <Popover className={css.popover ?? ""}>
        <ListBox
          className={css.options ?? ""}
          items={options.map((option) => ({ id: option.value, ...option }))}
        >
          {(option) => (
            <ListBoxItem id={option.value} textValue={option.label} className={css.option ?? ""}>
              <Text slot="label">{option.label}</Text>
              {option.hint && (
                <Text slot="description" className={css.hint ?? ""}>
                  {option.hint}
                </Text>
              )}
            </ListBoxItem>
          )}
        </ListBox>
      </Popover>
    </Select>
  );
}

/** One of few, all of them seen. */
export function Choices<Value extends string>(props: ChoiceProps<Value>) {
  const { label, options, value, onChange, hint, problem, isDisabled } = props;
  return (
    <RadioGroup
      className={css.field ?? ""}
      value={value}
      onChange={(key) => onChange(key as Value)}
      isInvalid={Boolean(problem)}
      isDisabled={isDisabled ?? false}
    >
      <Label>{label}</Label>
      <div className={css.choices}>
        {options.map((option) => (
          <Radio key={option.value} value={option.value} className={css.radio ?? ""}>
            <span className={css.dot} aria-hidden="true" />
            <span>
              {option.label}
              {option.hint && <span className={css.hint}> {option.hint}</span>}
            </span>
          </Radio>
        ))}
      </div>
      {hint && (
        <Text slot="description" className={css.hint ?? ""}>
          {hint}
        </Text>
      )}
      <FieldError className={css.problemText ?? ""}>{problem}</FieldError>
    </RadioGroup>
  );
}
