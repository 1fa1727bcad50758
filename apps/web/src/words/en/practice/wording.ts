/** Words of the consent wordings. */
export const practiceWording = {
  says: "What is put to whoever is asked, one text for each scope, each in the department's own words. Nothing in one of them stands for another. Old versions stay for those who answered them.",
  none: "No text: nobody can be asked",
  inForce: "put to patients now",
  version: (version: string) => `version ${version}`,
  hash: "SHA-256 of the text; an answer on record names it",
  starting:
    "This is the starting text, no form of any hospital: set your own before the first patient is asked.",
  asRead: "As a patient will read it",
  older: (n: number) => (n === 1 ? "1 earlier version" : `${n} earlier versions`),
  add: "A new version",
  addFor: (scope: string) => `A new version for ${scope}`,
  versionLabel: "Version",
  versionHint: "as it stands on the form, such as 2026-06",
  text: "Text",
  textHint: "20 to 4000 characters. Say that one may say no, and that care does not change.",
  preview: "As a patient will read it",
  save: "Put it into force",
  saved: "The new wording is put to patients from now on. Earlier answers keep theirs.",
};
