/** Lies in every backup place, for whoever finds it without the program. */
export const README = `This place holds backups of a Samescale library: clinical photographs and what is known about them.
They are confidential health records. Treat it like a patient's file.

backup.json   what this is, and how the pieces are encrypted
backups/      one note per backup: what belongs to it
pieces/       everything else, each named by the SHA-256 of its bytes as they lie here:
              pieces/ab/cd/abcd...   Check one:  sha256sum pieces/ab/cd/abcd...
              A piece belongs to every backup that names it. Do not rename, edit or remove any.

To get the library back, as of the newest backup:
  samescale restore THIS-PLACE NEW-FOLDER --passphrase-file FILE
How it is encrypted, and how to read it without the program, stands in docs/keep.md.
`;
