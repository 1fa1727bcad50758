import type { Page } from "playwright-core";

/** One picture of the tour: where, what to do there first, and what is to be seen. */
export interface Shot {
  /** Of the files. */
  readonly name: string;
  readonly title: string;
  readonly says: string;
  /** Opens the place and brings it into the state that is shown. */
  readonly open: (page: Page) => Promise<void>;
}

const at = (address: string) => async (page: Page) => {
  await page.goto(address);
};

/** The places in the order of the day, as the demonstration shows them. */
export const shots: readonly Shot[] = [
  {
    name: "today",
    title: "Today",
    says: "What is asked for today, by time and place; what each still lacks, and the bag to pack.",
    open: at("/"),
  },
];
