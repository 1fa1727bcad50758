const files = (count: number) => (count === 1 ? "1 file" : `${count} files`);
const frames = (count: number) => (count === 1 ? "1 frame" : `${count} frames`);

/** 5400 s is `1 h 30 min`; less than a minute is told in seconds. */
const span = (seconds: number): string => {
  const s = Math.round(Math.abs(seconds));
  const parts: readonly (readonly [number, string])[] = [
    [Math.floor(s / 86_400), "d"],
    [Math.floor(s / 3600) % 24, "h"],
    [Math.floor(s / 60) % 60, "min"],
    [s < 60 ? s : 0, "s"],
  ];
  return parts.flatMap(([value, unit]) => (value > 0 ? [`${value} ${unit}`] : [])).join(" ") || "0 s";
};

export const card = {
  files,
  frames,
  filesUnit: (count: number) => (count === 1 ? "file" : "files"),
  framesUnit: (count: number) => (count === 1 ? "frame" : "frames"),
  takeIn: "Take in",
  whose: "Whose is it",
  whoseCount: (count: number) => `Whose is it: ${count} wait`,
  bytes: (bytes: number) => {
    if (bytes >= 1e9) return `${(bytes / 1e9).toFixed(1)} GB`;
    return bytes >= 1e5 ? `${(bytes / 1e6).toFixed(1)} MB` : `${Math.ceil(bytes / 1e3)} kB`;
  },

  drop: {
    title: "Drop a card here",
    hint: "A whole card, a folder, or single files. The card is only read; nothing on it is changed.",
    chooseFolder: "Choose a card or folder",
    chooseFiles: "Choose files",
    nothing: "Nothing in it could be read: drop the card's folder or its files.",
    reading: "Looking at what was dropped",
  },
  here: {
    title: "At the server’s machine",
    none: "No card is in a reader of the server’s machine just now.",
    other: "Another folder",
    otherHint: "Whole, from the root on, such as /media/card",
    go: "Take in",
    look: "Look again",
    camera: "has a camera’s folder",
    below: (folders: readonly string[]) => `Folders below: ${folders.join(", ")}`,
  },
  sending: {
    title: (name: string) => `Sending ${name}`,
    loose: "single files",
    files: (sent: number, of: number) => `${sent} of ${files(of)}`,
    comparing: "each file’s SHA-256 goes along, so that what is kept is compared with the card",
    lost: "The connection is lost. It goes on by itself where it stopped.",
    stop: "Stop",
    stopped: "Stopped. What came stays here.",
    goOn: "Go on",
    next: (count: number) =>
      count === 1 ? "1 more card waits behind it." : `${count} more cards wait behind it.`,
  },
  open: {
    title: "Dropped and not taken in",
    here: (count: number, of: number) => `${count} of ${files(of)} are here.`,
    dropAgain: "Drop the same card again: only the rest is sent.",
    takeHere: "Take in what is here",
    takeAll: "Take in",
    putAway: "Put away",
    putAwayDone: (name: string) => `${name} is put away; nothing of it was taken in. The card still has it.`,
    kept: (days: number) => `Kept for ${days} days.`,
  },
  job: {
    goOn: "Go on where it stopped",
    stopped: "Stopped. What was copied is safe; the same card goes on from there.",
  },
  erase: {
    yes: "The card may be emptied",
    no: "Do not empty the card",
    unknown: "Do not empty the card yet: it is not wholly taken in",
    said: (day: string) => `Said on ${day}, for the card as it was then.`,
  },
  result: {
    title: (name: string) => `${name}: taken in`,
    begun: (name: string) => `${name}: not wholly taken in`,
    stored: "new",
    already: "here already",
    "not-a-picture": "no picture",
    unreadable: "not read",
    placed: "whose they are is known",
    unplaced: "wait for a person",
    place: "Say whose they are",
    frames: "See the frames",
    signed: (entries: number) => `The log is signed, ${entries} entries.`,
    notSigned: (why: string) => `The log is not signed. ${why}`,
    fileList: "Every file",
    became: "What became of it",
    all: "all",
    problems: "not taken in",
    copies: {
      2: "two copies, read back",
      1: "one copy, read back",
      0: "not kept",
    } as Readonly<Record<number, string>>,
    another: "Take another card in",
  },
  lately: {
    title: "Taken in lately",
    none: "No card was taken in yet. Put one into the reader, or drop its folder above.",
    erase: "May be emptied",
    yes: "yes",
    no: "no",
    notFinished: "not finished",
    goOn: "Go on",
    abandoned: "given up",
  },
  clock: {
    title: "A camera’s clock ran wrong",
    says: (name: string, aheadS: number, labels: number) =>
      `${name}: about ${span(aheadS)} ${aheadS > 0 ? "fast" : "slow"}, by ${labels === 1 ? "1 label frame" : `${labels} label frames`} against the times booked.`,
    asBooked: (aheadS: number) => {
      const hours = Math.round(Math.abs(aheadS) / 3600);
      return `Put right by ${hours} h`;
    },
    byFrame: "By a photographed clock",
    bySeconds: "By hand",
    wasRight: "It was right",
    wasRightBecause: "A person looked at the camera’s clock: it ran right, the visits were late",
    done: (count: number, offsetS: number) =>
      `${frames(count)}: ${span(offsetS)} ${offsetS < 0 ? "earlier" : "later"}. What the camera wrote stays beside it.`,
    doneRight: "Noted: the clock ran right.",
    undoBecause: "Taken back",
    keeps: "The corrected time stands beside what the camera wrote, never over it, with who and why.",
    frame: "Frame that shows the clock",
    frameHint: "Its id, as Custody and Frames show it",
    shows: "What the clock in it shows",
    showsHint: "Such as 2026-03-15 09:02:30",
    minutes: "Minutes to add",
    minutesHint: "Less than 0: the camera’s clock ran fast",
    because: "How it is known",
    put: "Put right",
    correctedBy: (offsetS: number) => `clock put right by ${offsetS < 0 ? "−" : "+"}${span(offsetS)}`,
  },

  waiting: {
    none: "Every frame belongs to a request",
    noneHelp:
      "When a card brings frames whose label does not fit, they wait here until somebody who was there says whose they are.",
    toCard: "Take a card in",
    why: "Two identifiers have to agree, or a person who was there decides. Nothing goes to the nearest patient.",
    card: (name: string, count: number) => `${name}: ${frames(count)} wait`,
    beforeAny: "Before any label frame",
    afterLabel: (name: string) => `After the label frame ${name}`,
    openedFor: (code: string) => `it opened ${code}`,
    opensNobody: "it opened nobody’s",
    large: "Look at the label",
    labelLarge: (name: string) => `Label frame ${name}`,
    read: (codes: readonly string[]) => `Read in it: ${codes.join(" · ")}`,
    readNothing: "No code was read in it: look at its writing.",
    close: "Close",
    group: "Frames that wait",
    all: "Mark all",
    none_: "Mark none",
    drag: "Move",
    targets: "Give to",
    filter: "Name, number or code",
    noTarget: "No open request fits. A closed one is found under Requests, and opened there again.",
    thatDay: "that day",
    done: "done",
    noPatient: "no patient",
    marked: (count: number) =>
      count === 0 ? "Mark frames, then drag them onto a request or give them (p)" : `${frames(count)} marked`,
    give: "Give to …",
    giveMarked: (count: number) => `Give ${frames(count)} to …`,
    noneMarked: "Mark the frames first.",
    because: {
      title: (count: number, code: string) => `${frames(count)} to ${code}`,
      ask: "How do you know?",
      quick: ["I was there", "The label in the picture says so", "The day sheet says so"],
      own: "In your own words",
      place: "Place",
      visit: "Which visit",
      visitOfDay: "that of the frame’s day",
      stays: "Your reason stays in the log, with your name.",
    },
    placed: (count: number, code: string) => `${frames(count)} to ${code}.`,
    consequences: {
      title: "What follows from it",
      doubts: "To be settled now",
      left: "Left the department before this, and has to be asked back",
      stale: "Made for another request, to be made anew",
      leftLine: (day: string, name: string, recipient: string) => `${day}: ${name} to ${recipient}`,
      recalls: "To the recalls",
    },
    lately: {
      title: "Placed by hand lately",
      line: (count: number, to: string | null) =>
        to === null ? `${frames(count)} back to those that wait` : `${frames(count)} to ${to}`,
      undo: "Take back",
      undone: "taken back",
      done: (count: number) => `${frames(count)} back where they were.`,
    },
    keys: {
      give: "give what is marked to …",
      all: "mark all of the group with the focus, or all",
      none: "mark none",
      label: "look at the label frame",
      number: "give to the request of that number",
    },
    noTime: "no time",
  },
};
