import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { minimumCut, STEP_X, STEP_Y } from "../../src/outline/max-flow.ts";

interface Network {
  readonly width: number;
  readonly height: number;
  readonly terminal: Int32Array;
  readonly links: Int32Array;
}

function randomNetwork(seed: number, width: number, height: number): Network {
  const random = seededRandom(seed);
  const whole = (most: number) => Math.floor(random() * (most + 1));
  const terminal = Int32Array.from({ length: width * height }, () => whole(40) - 20);
  const links = new Int32Array(8 * width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      for (let d = 0; d < 8; d++) {
        const [nx, ny] = [x + STEP_X[d]!, y + STEP_Y[d]!];
        // Unlike either way, some of them shut.
        const isThere = nx >= 0 && ny >= 0 && nx < width && ny < height;
        links[8 * (y * width + x) + d] = isThere && random() < 0.8 ? whole(12) : 0;
      }
    }
  }
  return { width, height, terminal, links };
}

/** What a labelling costs: every link from inside to outside, every terminal on the wrong side. */
function costOf({ width, height, terminal, links }: Network, isInside: (i: number) => boolean): number {
  let cost = 0;
  for (let i = 0; i < width * height; i++) {
    const t = terminal[i]!;
    if (t > 0 && !isInside(i)) cost += t;
    if (t < 0 && isInside(i)) cost -= t;
    if (!isInside(i)) continue;
    for (let d = 0; d < 8; d++) {
      const [x, y] = [(i % width) + STEP_X[d]!, Math.floor(i / width) + STEP_Y[d]!];
      if (x >= 0 && y >= 0 && x < width && y < height && !isInside(y * width + x)) cost += links[8 * i + d]!;
    }
  }
  return cost;
}

test("the cut is the cheapest of all labellings, tried one by one (4 x 3 grids, 60 seeds)", () => {
  for (let seed = 1; seed <= 60; seed++) {
    const network = randomNetwork(seed, 4, 3);
    let cheapest = Number.POSITIVE_INFINITY;
    for (let labels = 0; labels < 2 ** 12; labels++) {
      cheapest = Math.min(
        cheapest,
        costOf(network, (i) => ((labels >> i) & 1) === 1),
      );
    }
    const { inside, flow } = minimumCut(4, 3, network.terminal.slice(), network.links.slice());
    assert.equal(
      costOf(network, (i) => inside[i] === 1),
      cheapest,
      `seed ${seed}`,
    );
    // Terminals were given as differences, so the flow itself is the cost.
    assert.equal(flow, cheapest, `seed ${seed}`);
  }
});

test("flow and cut are equal on larger grids, where trying all is impossible (40 x 30, 10 seeds)", () => {
  for (let seed = 100; seed < 110; seed++) {
    const network = randomNetwork(seed, 40, 30);
    const { inside, flow } = minimumCut(40, 30, network.terminal.slice(), network.links.slice());
    assert.equal(
      costOf(network, (i) => inside[i] === 1),
      flow,
      `seed ${seed}`,
    );
  }
});
