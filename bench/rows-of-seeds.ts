import { Worker, type WorkerOptions } from "node:worker_threads";

/**
 * Posts seed after seed to as many workers as wanted and gathers what each sends back for it, in the order of arrival.
 * @param onRow told of each row as it comes, so that a run that is cut off has left what it had
 */
export async function rowsOfSeeds<Row>(
  worker: URL,
  seeds: { readonly first: number; readonly count: number },
  threads: number,
  options: WorkerOptions = {},
  onRow: (row: Row) => void = () => {},
): Promise<Row[]> {
  const left = Array.from({ length: seeds.count }, (_, i) => seeds.first + i).values();
  const found = Array.from({ length: threads }, () => rowsOfWorker(new Worker(worker, options), left, onRow));
  return (await Promise.all(found)).flat();
}

/** One thread takes seed after seed until none is left. */
function rowsOfWorker<Row>(
  worker: Worker,
  seeds: Iterator<number>,
  onRow: (row: Row) => void,
): Promise<Row[]> {
  const found: Row[] = [];
  return new Promise((resolve, reject) => {
    const next = () => {
      const { value, done } = seeds.next();
      if (!done) worker.postMessage(value);
      else void worker.terminate().then(() => resolve(found), reject);
    };
    worker.on("message", (row: Row) => {
      found.push(row);
      onRow(row);
      next();
    });
    worker.on("error", reject);
    next();
  });
}
