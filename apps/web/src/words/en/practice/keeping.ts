/** Words of backups and of putting a library back. */
export const practiceKeeping = {
  last: "Last whole backup",
  never: "There is no backup",
  neverSays:
    "One broken disk, and every picture is gone. Make the first one now: it takes as long as copying the pictures, and the library can be used meanwhile.",
  days: (n: number) => (n === 0 ? "today" : n === 1 ? "yesterday" : `${n} days ago`),
  make: "Make a backup",
  makeSays:
    "While the library is in use: it shows the library of one moment. The first one copies everything, each later one only what is new.",
  where: "Where to",
  kinds: { folder: "A folder of the server, best on another disk", store: "An S3-compatible store" },
  folder: "Folder",
  folderHint: "a whole path such as /media/backup: new, empty, or the place of earlier backups",
  store: "Place in the store",
  storeHint: "s3://BUCKET/PREFIX",
  endpoint: "Address of the store",
  endpointHint: "https://objects.hospital.example",
  credentials:
    "Its key and secret are never typed: they come from the server's secrets file or its environment.",
  encrypted: "Encrypt it",
  notEncrypted: "Nothing encrypts it: whoever holds the disk has the pictures.",
  passphrase: "Passphrase",
  passphraseHint:
    "12 characters or more. It is kept nowhere: without it nobody can open the backup, neither can we.",
  passphraseAgain: "Passphrase again",
  notTheSame: "These two are not the same",
  begin: "Begin",
  whole: (originals: number, copied: number) =>
    `The backup is whole: ${originals} originals, ${copied} files new there.`,
  lacking: (n: number) =>
    n === 1
      ? "The backup lacks 1 file; everything else is there:"
      : `The backup lacks ${n} files; everything else is there:`,
  list: "Backups on record",
  listSays:
    "As the custody log tells of them: each was whole when it was made. Whether they are still there, only looking tells.",
  isEncrypted: "encrypted",
  isPlain: "not encrypted",
  lacks: (n: number) => (n === 1 ? "lacks 1 file" : `lacks ${n} files`),
  originals: (n: number) => (n === 1 ? "1 original" : `${n} originals`),
  look: "Look what is there",
  there: "There now:",
  nothingThere: "There is no finished backup there.",
  entries: (n: number) => `log up to entry ${n}`,
  places: "Where this library lies",
  library: "Library",
  tables: "Tables",
  second: "Second copy of every original",
  noSecond: "none named: no card is ever said to be free",
  oneCopy: "the department decided that one copy is enough",
  verify: "Prove it",
  verifySays: "Every original is read again, every row and the whole log are checked.",
  toVerify: "Verify in Custody",
  restore: "When the library is gone",
  restoreSays: "Nothing that you do below changes the backup, and nothing is written over. Take your time.",
  restoreSteps: [
    "Leave the broken computer or disk as it is: do not repair, format or copy anything back onto it. Put cards aside that were not erased yet.",
    "Connect the disk with the backup to a computer that has Samescale and enough free space. Write the passphrase as the first line of a file of your own, and close the file for others (chmod 600).",
    "See what is there:",
    "Put it back into a folder that does not exist yet, on another disk than the broken one:",
    "Wait for “Everything holds”. If it is interrupted, run the same line again: it goes on.",
    "Work with it:",
  ],
  proveIt: "A backup that was never put back is a hope: try it from time to time into a spare folder.",
  onlyLead: "Where backups lie is for the lead to name.",
  copy: "Copy",
  copied: "Copied",
};
