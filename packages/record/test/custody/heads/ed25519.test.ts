import assert from "node:assert/strict";
import { createPrivateKey, createPublicKey, sign, verify } from "node:crypto";
import { test } from "node:test";
import { isSignedBy } from "../../../src/index.ts";

// RFC 8032, section 7.1, tests 1 to 3: secret key, public key, message, signature.
const VECTORS = [
  [
    "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
    "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
    "",
    "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
  ],
  [
    "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
    "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
    "72",
    "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
  ],
  [
    "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
    "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
    "af82",
    "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
  ],
] as const;

/** The fixed heads of the two forms in which keys are kept (RFC 8410). */
const PRIVATE = "302e020100300506032b657004220420";
const PUBLIC = "302a300506032b6570032100";

test("signatures are those of RFC 8032, and no other passes", () => {
  for (const [secret, publicKey, message, signature] of VECTORS) {
    const key = createPrivateKey({ key: Buffer.from(PRIVATE + secret, "hex"), type: "pkcs8", format: "der" });
    const bytes = Buffer.from(message, "hex");
    assert.equal(sign(null, bytes, key).toString("hex"), signature);
    const known = createPublicKey({
      key: Buffer.from(PUBLIC + publicKey, "hex"),
      type: "spki",
      format: "der",
    });
    assert.deepEqual(
      createPublicKey(key).export({ type: "spki", format: "der" }),
      known.export({ type: "spki", format: "der" }),
    );
    assert.ok(verify(null, bytes, known, Buffer.from(signature, "hex")));
  }
});

test("a text is signed by its key only to the byte", () => {
  const [secret] = VECTORS[0];
  const key = createPrivateKey({ key: Buffer.from(PRIVATE + secret, "hex"), type: "pkcs8", format: "der" });
  const pem = createPublicKey(key).export({ type: "spki", format: "pem" }).toString();
  const signature = sign(null, Buffer.from("size 17\n"), key).toString("base64");
  assert.ok(isSignedBy("size 17\n", signature, pem));
  assert.equal(isSignedBy("size 18\n", signature, pem), false);
  assert.equal(isSignedBy("size 17", signature, pem), false);
  assert.equal(isSignedBy("size 17\n", `${signature}\n`, pem), false);
  assert.equal(isSignedBy("size 17\n", signature.slice(0, 40), pem), false);
  assert.equal(isSignedBy("size 17\n", signature, "no key"), false);
});
