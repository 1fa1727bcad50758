export const parts = {
  close: "Close",
  choose: "Choose",
  copy: "Copy",
  copied: "Copied",
  loading: "Loading",
  again: "Try again",
  stop: "Stop",
  verdicts: { keep: "keep", repeat: "repeat", "your-choice": "your choice", "not-judged": "not judged" },
  progress: (done: number, total: number | null) => (total === null ? `${done}` : `${done} of ${total}`),
  left: (seconds: number) =>
    seconds < 90 ? `about ${seconds} s left` : `about ${Math.round(seconds / 60)} min left`,
};
