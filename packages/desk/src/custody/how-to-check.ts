/** Lies in every folder of proofs. The lines are run by a test as they stand here; docs/custody.md explains them. */
export const HOW_TO_CHECK = `What lies here, and how to check it with sha256sum and openssl alone

signed-head.txt       size and root of a department's custody log, signed by its key (Ed25519)
entry-N.line          entry N of that log, to the byte: what was done, by whom, on what, when
entry-N.json          why that line is entry N of the log that was signed (RFC 6962, inclusion proof)
consistency-A-B.json  why the log of A entries is the beginning of the log of B entries (consistency proof)

The lines below are for a POSIX shell in this folder. Each check prints OK or stops.

# 1. The signature. Compare the printed key with one that you have from elsewhere: that is what all else rests on.
set -e
head -n 6 signed-head.txt > head.txt
sed -n 's/^signature //p' signed-head.txt | openssl base64 -d -A > head.sig
sed -n 's/^public //p' signed-head.txt | openssl base64 -d -A > key.der
openssl pkeyutl -verify -pubin -inkey key.der -keyform DER -rawin -in head.txt -sigfile head.sig
test "$(sha256sum < key.der | cut -c1-64)" = "$(sed -n 's/^key //p' head.txt)"
echo "key $(sed -n 's/^key //p' head.txt)"
size=$(sed -n 's/^size \\([0-9]*\\)$/\\1/p' head.txt)
root=$(sed -n 's/^root //p' head.txt)

# Hashes of the tree: a leaf is SHA-256 of a zero byte and the line, a node that of a one byte and two hashes.
unhex() { printf "$(printf '\\\\%03o' $(printf %s "$1" | sed 's/../ 0x&/g'))"; }
leaf() { { printf '\\000'; cat "$1"; } | sha256sum | cut -c1-64; }
node() { { printf '\\001'; unhex "$1$2"; } | sha256sum | cut -c1-64; }
hashes() { sed -n 's/^ *"\\([0-9a-f]\\{64\\}\\)",*$/\\1/p' "$1"; }

# 2. Every entry-N.line is entry N of the signed log.
for line in entry-*.line; do
  test -e "$line" || continue
  number=\${line#entry-}; number=\${number%.line}
  case $number in *[!0-9]*) echo "$line is no entry"; exit 1; esac
  at=$((number - 1)); last=$((size - 1)); hash=$(leaf "$line")
  for other in $(hashes "entry-$number.json"); do
    test $last -gt 0
    if [ $((at % 2)) -eq 1 ] || [ $at -eq $last ]; then
      hash=$(node "$other" "$hash")
      while [ $((at % 2)) -eq 0 ] && [ $at -gt 0 ]; do at=$((at / 2)); last=$((last / 2)); done
    else
      hash=$(node "$hash" "$other")
    fi
    at=$((at / 2)); last=$((last / 2))
  done
  test $last -eq 0
  test "$hash" = "$root"
  echo "entry $number OK"
done

# 3. Every consistency-A-B.json: the log of A entries with the root that it names is the beginning of the signed one.
for proof in consistency-*.json; do
  test -e "$proof" || continue
  from=$(sed -n 's/^ "from": \\([0-9]*\\),$/\\1/p' "$proof")
  old=$(sed -n 's/^ "fromRoot": "\\([0-9a-f]*\\)",$/\\1/p' "$proof")
  at=$((from - 1)); last=$((size - 1)); path=$(hashes "$proof")
  test $from -gt 0; test $from -le $size
  if [ $from -eq $size ]; then test "$old" = "$root"; echo "the log of $from entries OK"; continue; fi
  while [ $((at % 2)) -eq 1 ]; do at=$((at / 2)); last=$((last / 2)); done
  if [ $at -eq 0 ]; then path="$old $path"; fi
  before=; after=
  for other in $path; do
    if [ -z "$before" ]; then before=$other; after=$other; continue; fi
    test $last -gt 0
    if [ $((at % 2)) -eq 1 ] || [ $at -eq $last ]; then
      before=$(node "$other" "$before"); after=$(node "$other" "$after")
      while [ $((at % 2)) -eq 0 ] && [ $at -gt 0 ]; do at=$((at / 2)); last=$((last / 2)); done
    else
      after=$(node "$after" "$other")
    fi
    at=$((at / 2)); last=$((last / 2))
  done
  test $last -eq 0
  test "$before" = "$old"; test "$after" = "$root"
  echo "the log of $from entries with root $old OK"
done
`;
