/**
 * The page that goes with every bag of evidence. Whoever gets the bag types its indented lines; a test does the same. A shell,
 * sha256sum, openssl, and nothing of ours.
 */
export const CHECK_THIS = String.raw`HOW TO CHECK THIS FOLDER

You need a computer with a Unix shell, sha256sum and openssl 3.0 or later; none of our programs. Open a terminal in
this folder and copy the indented lines into it, a block at a time. A block that finds nothing wrong says "ok"; anything
that is wrong is a line with FAULT.


1. Every file is what it was when this folder was made

    sha256sum --check --strict --quiet tagmanifest-sha256.txt &&
    sha256sum --check --strict --quiet manifest-sha256.txt &&
    sha512sum --check --strict --quiet tagmanifest-sha512.txt &&
    sha512sum --check --strict --quiet manifest-sha512.txt &&
    test "$(find data -type f | wc -l)" -eq "$(wc -l < manifest-sha256.txt)" &&
    ! grep -q '^[0-9a-f]*[A-F]' tagmanifest-sha256.txt tagmanifest-sha512.txt &&
    echo ok || echo "FAULT: a file was changed, removed or added"

This finds mistakes and damage. Who means to deceive could have written these lists anew; the steps below are for that.


2. The state of the department's log is signed by its key

    for head in data/log/heads/*; do
      key=$(sed -n 's/^key //p' "$head/head.txt")
      test "$(openssl pkey -pubin -in "data/log/keys/$key.pem" -outform DER | sha256sum | cut -c 1-64)" = "$key" &&
      openssl pkeyutl -verify -pubin -inkey "data/log/keys/$key.pem" -rawin -in "$head/head.txt" \
        -sigfile "$head/head.sig" > /dev/null &&
      echo "ok: $head is signed by key $key" || echo "FAULT: the signature of $head"
    done

A key in this folder proves nothing by lying here. Ask the department, or whoever keeps its keys, for the number of its key by
another way, and compare it with the one that was printed.

Where the department changed its key, the key before says which one follows:

    for said in data/log/keys/*.endorsement.txt; do
      test -f "$said" || continue
      by=$(sed -n 's/^by //p' "$said")
      openssl pkeyutl -verify -pubin -inkey "data/log/keys/$by.pem" -rawin -in "$said" \
        -sigfile "$(dirname "$said")/$(basename "$said" .txt).sig" > /dev/null &&
      echo "ok: $(sed -n 's/^key //p' "$said") follows $by" || echo "FAULT: $said"
    done


3. Each line of the log in this folder stands in the log that was signed

The log is a tree of hashes (RFC 6962): a line's hash, joined with its neighbours' hashes step by step, gives the root
that was signed. The neighbours stand in proofs.txt, in the notation of printf.

    hashed() { openssl dgst -sha256 -binary | od -An -v -t o1 -w32 | sed 's/ /\\0/g'; }
    for head in data/log/heads/*; do
      root=$(sed -n 's/^root //p' "$head/head.txt")
      while read -r line steps; do
        hash=$({ printf '\000'; cat "data/log/lines/$line"; } | hashed)
        set -- $steps
        while test $# -gt 0; do
          case $1 in
            left) hash=$(printf %b "\0001$2$hash" | hashed) ;;
            right) hash=$(printf %b "\0001$hash$2" | hashed) ;;
          esac
          shift 2
        done
        test "$(printf %b "$hash" | od -An -v -t x1 -w32 | tr -d ' ')" = "$root" ||
        echo "FAULT: line $line does not stand in the log of $head"
      done < "$head/proofs.txt"
      echo "ok: $(wc -l < "$head/proofs.txt") lines compared with $head"
    done


4. The log tells of these very files

    for file in data/originals/* data/rows/* data/made/reading-* data/made/outline-* data/made/measurement-* data/made/verdict-*; do
      test -f "$file" || continue
      grep -q "$(sha256sum < "$file" | cut -c 1-64)" data/log/lines/* || echo "FAULT: the log does not tell of $file"
    done
    echo ok

The line that tells of a file says when it was taken in or made, by whom, and with what; data/made/recipes.jsonl says how. What
lies in data/rows says whose the pictures are and what was consented to, as the log sealed it.


5. The log was in this state before a certain time

Only where an authority outside the department stamped the state (RFC 3161). Get the authority's root certificate from the
authority itself, and name its file instead of authority.pem. The time is by the authority's clock.

    authority=$(ls "$AUTHORITY" authority.pem ../authority.pem 2> /dev/null | head -n 1)
    for stamp in data/log/heads/*/time-stamp.tsr; do
      test -f "$stamp" || continue
      test -n "$authority" || { echo "NOT CHECKED: no certificate of the authority"; continue; }
      openssl ts -verify -in "$stamp" -data "$(dirname "$stamp")/head.txt" -CAfile "$authority" > /dev/null 2>&1 &&
      echo "ok: $stamp" &&
      openssl ts -reply -in "$stamp" -text 2> /dev/null | grep "Time stamp:" || echo "FAULT: $stamp"
    done


What this proves: these files are those that the log tells of, and the log had this state when it was signed, and, where there
is a stamp, no later than the stamp. What it does not prove: that the times which the department's own computer wrote are
right, that a photograph shows what somebody says it shows, or who handled the files before they were taken in.
`;
