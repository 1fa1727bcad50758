/** Lies in every library, for whoever finds the folder without the program. */
export const README = `This folder is a Samescale library: clinical photographs and what is known about them.
It holds confidential health records. Treat it like a patient's file.

originals/      camera files, byte for byte. Each is named by its SHA-256:
                originals/ab/cd/abcd...   Check one:  sha256sum originals/ab/cd/abcd...
                Nothing here is ever changed. Do not rename, edit or add files.
derived/        thumbnails, previews and masked pictures, named in the same way; made from originals.
samescale.db    an SQLite database: patients, requests, frames, measurements, and the custody log.
                Its companions samescale.db-wal and samescale.db-shm belong to it.
custody.head    number and hash of the last entry of the custody log.
keys/           the private key that signs the log, unless it is kept elsewhere. Nobody else may read it.
places.json     only in a department: on which server the database is, in which store the pictures are.
cache/          only then: copies of pictures for programs to read. They may be removed at any time.

To copy or move a library, close every program that uses it and take the whole folder.
To prove that nothing was lost or changed:  samescale verify --library THIS-FOLDER
`;
