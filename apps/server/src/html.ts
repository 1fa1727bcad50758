const ENTITIES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/** HTML that is already safe. Only `html` and `list` make it. */
export class Html {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

/** A template in which every value is escaped: file names, metadata and labels are never trusted. */
export function html(parts: TemplateStringsArray, ...values: readonly (string | number | Html)[]): Html {
  let text = parts[0] ?? "";
  values.forEach((value, i) => {
    text += value instanceof Html ? value.text : String(value).replace(/[&<>"']/g, (c) => ENTITIES[c] ?? c);
    text += parts[i + 1] ?? "";
  });
  return new Html(text);
}

export const list = (items: readonly Html[]): Html => new Html(items.map((item) => item.text).join("\n"));
export const nothing = new Html("");
