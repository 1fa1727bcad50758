/** Words of all of Practice. */
export const practiceParts = {
  nav: "Practice",
  places: {
    "": "At a glance",
    views: "View sets",
    kit: "Kit",
    people: "People",
    wording: "Wording",
    retention: "Retention",
    keeping: "Keeping",
    figures: "Figures",
  },
  overview: {
    title: "Practice",
    says: "The department's own rules: what is photographed and how, with which kit, by whom, and how long it is kept.",
    version: (n: number) => `version ${n}`,
    lies: (folder: string) =>
      `Its files lie in ${folder}. Every change is told in the custody log and can be taken back.`,
    notOwn:
      "This library uses the starting practice. Few of its values are published: make it your own before the first patient.",
    makeOwn: "Make it your own",
    madeOwn: "The practice is your own now.",
    faultsTitle: "The practice does not hold",
    faultsSays: "Until these are put right, nothing can be planned. Open the file and correct what is named.",
    line: (n: number) => `line ${n}`,
    open: (file: string) => `Open ${file}`,
    viewSets: (sets: number, views: number) =>
      `${sets} ${sets === 1 ? "set" : "sets"}, ${views} ${views === 1 ? "view" : "views"}`,
    kit: (n: number) =>
      n === 0 ? "Everything can be used" : n === 1 ? "1 thing to see to" : `${n} things to see to`,
    people: (hasAccounts: boolean) =>
      hasAccounts ? "Accounts, roles, emergencies" : "One person on this machine",
    wording: (n: number) =>
      n === 0
        ? "Every scope has a wording of your own"
        : n === 1
          ? "1 wording is still the starting one"
          : `${n} wordings are still the starting ones`,
    retention: (n: number) => (n === 1 ? "1 rule" : `${n} rules`),
    keeping: "Backups, and what to do when the library is gone",
    figures: "Requests, turnaround, repeats by cause",
    department: "Rules of the department",
    departmentSays: "Places, light set-ups, tolerances, patients' numbers: the text of department.yaml",
    removeDemo: "Remove the demonstration",
    removeDemoSays: "Begin with an empty library of your own",
    firstRun: "Three steps to a working department",
    firstRunSays: "Name, kit, people",
  },
  save: "Save",
  cancel: "Cancel",
  done: "Done",
  change: "Change",
  because: "Reason",
  optional: "may be left out",
  undone: "Taken back.",
  faults: (n: number) => (n === 1 ? "1 thing to put right" : `${n} things to put right`),
};
