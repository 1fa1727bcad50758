import { execFileSync, spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

/** False where the Debian program is not installed. */
export const hasOpenssl = spawnSync("openssl", ["version"]).status === 0;

/** A time-stamping authority of the test's own, made with `openssl ts` in this folder. */
export function makeAuthority(folder: string): {
  readonly certificate: string;
  /** Answers a query; `fault` makes it refuse. */
  answer(query: Uint8Array): Uint8Array;
} {
  const at = (name: string) => join(folder, name);
  writeFileSync(
    at("tsa.cnf"),
    `[req]\ndistinguished_name=dn\nprompt=no\nx509_extensions=ext\n[dn]\nCN=Time Stamps of the Test\n
[ext]\nbasicConstraints=CA:false\nkeyUsage=critical,digitalSignature\nextendedKeyUsage=critical,timeStamping\n
[tsa]\ndefault_tsa=one\n[one]\nserial=${at("serial")}\ncrypto_device=builtin\nsigner_cert=${at("tsa.pem")}
certs=${at("tsa.pem")}\nsigner_key=${at("tsa.key")}\nsigner_digest=sha256\ndefault_policy=1.2.3.4\ndigests=sha256
ordering=yes\ntsa_name=yes\ness_cert_id_chain=no\ness_cert_id_alg=sha256\n`,
  );
  writeFileSync(at("serial"), "01\n");
  const make = `req -x509 -newkey rsa:2048 -nodes -keyout ${at("tsa.key")} -out ${at("tsa.pem")} -days 3 -config ${at("tsa.cnf")}`;
  execFileSync("openssl", make.split(" "), { stdio: "pipe" });
  return {
    certificate: at("tsa.pem"),
    answer(query) {
      writeFileSync(at("asked.tsq"), query);
      const reply = `ts -reply -config ${at("tsa.cnf")} -queryfile ${at("asked.tsq")} -out ${at("answered.tsr")}`;
      execFileSync("openssl", reply.split(" "), { stdio: "pipe" });
      return readFileSync(at("answered.tsr"));
    },
  };
}
