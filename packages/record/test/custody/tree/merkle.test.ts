import assert from "node:assert/strict";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import fc from "fast-check";
import { checkConsistency, checkInclusion } from "../../../src/custody/tree/check.ts";
import {
  consistencyPath,
  EMPTY_ROOT,
  inclusionPath,
  leafHash,
  type NodeAt,
  nodeHash,
  rootOf,
} from "../../../src/custody/tree/merkle.ts";
import { literalLeaf, literalPath, literalProof, mth } from "./rfc6962.ts";

/** The nodes of complete subtrees over these leaves; asking for any other fails the test. */
function nodesOver(leaves: readonly string[]): NodeAt {
  const levels = [leaves];
  for (let below = leaves; below.length > 1; below = levels.at(-1) as string[]) {
    levels.push(
      Array.from({ length: Math.floor(below.length / 2) }, (_, at) =>
        nodeHash(below[2 * at] as string, below[2 * at + 1] as string),
      ),
    );
  }
  return async (level, position) => {
    const hash = levels[level]?.[position];
    assert.ok(hash !== undefined, `asked for a node that is not complete: ${level}, ${position}`);
    return hash;
  };
}

const hex = (hashes: readonly Buffer[]) => hashes.map((hash) => hash.toString("hex"));

interface Vectors {
  readonly leaf_inputs_hex: readonly string[];
  readonly leaf_hashes: readonly string[];
  readonly roots_by_size: readonly string[];
  readonly inclusion_proofs: Readonly<Record<string, readonly string[]>>;
  readonly consistency_proofs: Readonly<Record<string, readonly string[]>>;
}

// The test vectors of the Certificate Transparency reference trees, as kept in the reference folder.
const VECTORS = join(import.meta.dirname, "../../../../../../shared/reference/merkle-rfc6962-vectors.json");

test("leaves, roots and proofs are those of the published vectors", async (t) => {
  if (!existsSync(VECTORS)) return t.skip("the reference folder is not here");
  const vectors = JSON.parse(readFileSync(VECTORS, "utf8")) as Vectors;
  const inputs = vectors.leaf_inputs_hex.map((text) => Buffer.from(text, "hex"));
  assert.deepEqual(inputs.map(leafHash), vectors.leaf_hashes);
  const at = nodesOver(vectors.leaf_hashes);
  for (const [size, root] of vectors.roots_by_size.entries()) assert.equal(await rootOf(at, size), root);
  for (const [of, proof] of Object.entries(vectors.inclusion_proofs)) {
    const [leaf = 0, size = 0] = of.split(":").map(Number);
    assert.deepEqual(await inclusionPath(at, leaf, size), proof, of);
    const root = vectors.roots_by_size[size] as string;
    const line = inputs[leaf] as Buffer;
    assert.ok(checkInclusion({ line, sequence: leaf + 1, size, root, proof }), of);
  }
  for (const [of, proof] of Object.entries(vectors.consistency_proofs)) {
    const [from = 0, to = 0] = of.split(":").map(Number);
    assert.deepEqual(await consistencyPath(at, from, to), proof, of);
    const [fromRoot = "", toRoot = ""] = [vectors.roots_by_size[from], vectors.roots_by_size[to]];
    assert.ok(checkConsistency({ from, fromRoot, to, toRoot, proof }), of);
  }
});

test("roots and proofs are those of RFC 6962 taken word by word, for every size and leaf up to 40", async () => {
  const data = Array.from({ length: 40 }, (_, at) => Buffer.from(`line ${at}\n`));
  const leaves = data.map(literalLeaf);
  assert.equal(EMPTY_ROOT, mth([]).toString("hex"));
  for (let size = 0; size <= data.length; size++) {
    const tree = leaves.slice(0, size);
    const root = mth(tree).toString("hex");
    const at = nodesOver(hex(tree));
    assert.equal(await rootOf(at, size), root);
    for (let leaf = 0; leaf < size; leaf++) {
      const proof = await inclusionPath(at, leaf, size);
      assert.deepEqual(proof, hex(literalPath(leaf, tree)));
      assert.ok(checkInclusion({ line: data[leaf] as Buffer, sequence: leaf + 1, size, root, proof }));
    }
    for (let from = 1; from <= size; from++) {
      const proof = await consistencyPath(at, from, size);
      assert.deepEqual(proof, hex(literalProof(from, tree)));
      const fromRoot = mth(tree.slice(0, from)).toString("hex");
      assert.ok(checkConsistency({ from, fromRoot, to: size, toRoot: root, proof }));
    }
  }
});

const sizes = fc.integer({ min: 1, max: 300 });

test("a proof holds for its own claim and for no other", async () => {
  await fc.assert(
    fc.asyncProperty(sizes, sizes, sizes, fc.nat(), async (a, b, other, where) => {
      const [small, size] = a < b ? [a, b] : [b, a];
      const leaves = Array.from({ length: size }, (_, at) => leafHash(`line ${at}\n`));
      const at = nodesOver(leaves);
      const root = await rootOf(at, size);
      const proof = await inclusionPath(at, small - 1, size);
      const claim = { line: `line ${small - 1}\n`, sequence: small, size, root, proof };
      assert.ok(checkInclusion(claim));
      assert.equal(checkInclusion({ ...claim, line: "another\n" }), false);
      assert.equal(checkInclusion({ ...claim, root: leafHash("another\n") }), false);
      if (other !== small) assert.equal(checkInclusion({ ...claim, sequence: other }), false);
      const [fromRoot, way] = [await rootOf(at, small), await consistencyPath(at, small, size)];
      const consistent = { from: small, fromRoot, to: size, toRoot: root, proof: way };
      assert.ok(checkConsistency(consistent));
      assert.equal(checkConsistency({ ...consistent, fromRoot: leafHash("another\n") }), false);
      for (const [check, sound] of [
        [(p: string[]) => checkInclusion({ ...claim, proof: p }), proof],
        [(p: string[]) => checkConsistency({ ...consistent, proof: p }), way],
      ] as const) {
        assert.equal(check([...sound, root]), false, "one hash too many");
        if (sound.length === 0) continue;
        const place = where % sound.length;
        assert.equal(check(sound.toSpliced(place, 1)), false, "a hash left out");
        assert.equal(check(sound.with(place, leafHash("x"))), false, "a hash exchanged");
      }
    }),
    { numRuns: 60 },
  );
});

test("a claim that is no claim proves nothing", () => {
  const line = "line\n";
  const root = leafHash(line);
  const sound = { line, sequence: 1, size: 1, root, proof: [] };
  assert.ok(checkInclusion(sound));
  for (const sequence of [0, -1, 1.5, Number.NaN, 2]) {
    assert.equal(checkInclusion({ ...sound, sequence }), false);
  }
  assert.equal(checkInclusion({ ...sound, proof: ["zz"] }), false);
  assert.equal(checkInclusion({ ...sound, size: 2 ** 52, proof: Array(1000).fill(root) }), false);
  // A node must not pass for a leaf: the leaf of two hashes is not the node over them.
  const pair = Buffer.concat([Buffer.from(root, "hex"), Buffer.from(root, "hex")]);
  assert.notEqual(leafHash(pair), nodeHash(root, root));
  const empty = { from: 0, fromRoot: EMPTY_ROOT, to: 1, toRoot: root, proof: [] };
  assert.ok(checkConsistency(empty));
  assert.equal(checkConsistency({ ...empty, fromRoot: root }), false);
  assert.equal(checkConsistency({ ...empty, from: 2, to: 1 }), false);
});
