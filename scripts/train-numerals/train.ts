import { writeFileSync } from "node:fs";
import { seededRandom } from "../../packages/geometry/src/index.ts";
import { CHARACTERS, CLASSES } from "../../packages/picture/src/scale/numerals/classifier.ts";
import { confusion, train } from "./network.ts";
import { faces, type Sample, samplesOf } from "./samples.ts";

/**
 * Trains the numeral reader on scales that the virtual camera photographs, and writes its weights. The typefaces are
 * no dependency of the project: `npm ci` in this folder first.
 *   node scripts/train-numerals/train.ts [PICTURES] [SEED]
 * Families of typefaces listed below are left out of the training and tell how unknown lettering is read.
 */
const [pictures = 500, seed = 70_000] = process.argv.slice(2).map(Number);
const HELD_OUT = ["arimo", "roboto-condensed", "courier-prime", "pt-serif", "share-tech-mono", "montserrat"];
const HIDDEN = 48;
const EPOCHS = 30;
const out = (line: string) => process.stdout.write(`${line}\n`);

const families = faces();
const known = [...families].filter(([name]) => !HELD_OUT.includes(name)).flatMap(([, files]) => files);
const unknown = HELD_OUT.flatMap((name) => families.get(name)!);

async function collect(first: number, count: number, from: typeof known): Promise<Sample[]> {
  const samples: Sample[] = [];
  for (let i = 0; i < count; i++) {
    samples.push(...(await samplesOf(first + i, from)));
    if (i % 100 === 99) out(`${i + 1} of ${count} pictures, ${samples.length} marks`);
  }
  return samples;
}

const training = await collect(seed, pictures, known);
const test = await collect(seed + 1_000_000, Math.ceil(pictures / 6), unknown);
const network = train(training, HIDDEN, EPOCHS, seededRandom(seed));
const counts = confusion(test, network);
const names = [...CHARACTERS, "none"];
out(`typefaces never seen: ${test.length} marks`);
for (let c = 0; c < CLASSES; c++) {
  const total = counts[c]!.reduce((a, b) => a + b, 0);
  const wrong = counts[c]!.map((n, i) => ({ n, name: names[i]! }))
    .filter(({ n }, i) => n > 0 && i !== c)
    .sort((a, b) => b.n - a.n)
    .map(({ n, name }) => `${name} ${n}`);
  out(
    `${names[c]!.padEnd(5)} ${String(counts[c]![c]).padStart(5)} of ${String(total).padStart(5)}   ${wrong.join(", ")}`,
  );
}
const base64 = (values: Float32Array) => Buffer.from(values.buffer).toString("base64");
const weights = {
  seed,
  pictures,
  hidden: HIDDEN,
  inner: base64(network.inner),
  outer: base64(network.outer),
};
writeFileSync(
  new URL("../../packages/picture/src/scale/numerals/weights.json", import.meta.url),
  `${JSON.stringify(weights, null, 2)}\n`,
);
