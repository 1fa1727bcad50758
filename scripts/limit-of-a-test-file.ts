/**
 * Loaded into every test file before its tests. A test that hangs would hold up all of them and leave nobody knowing
 * which it was: after this long its file is ended and has failed. The longest takes three minutes of a small machine,
 * those of `--long` ten.
 */
const MINUTES = process.env.SAMESCALE_LONG === "1" ? 60 : 15;

setTimeout(() => {
  process.stderr.write(`${process.argv[1]}: ended, as its tests had not after ${MINUTES} minutes\n`);
  process.exit(1);
}, MINUTES * 60_000).unref();
