export type { BackupSecret } from "./backup/key.ts";
export {
  type BackupMade,
  type BackupOptions,
  type BackupProgress,
  makeBackup,
} from "./backup/make-backup.ts";
export { backupNames, type Manifest, readManifest } from "./backup/manifest.ts";
export { isInStore, type PlaceWanted, partsToRead, partsToWrite } from "./backup/parts.ts";
export { type BackupPlace, existingPlace, placeFor } from "./backup/place.ts";
export {
  type Restored,
  type RestoreOptions,
  type RestoreProgress,
  restoreLibrary,
} from "./backup/restore.ts";
export { canonicalJson, type Json, sha256Of } from "./custody/canonical.ts";
export { EMPTY_HEAD, type Entry, type Head, headOf, lineOf, verifyChain } from "./custody/chain.ts";
export { headOfText, headText } from "./custody/head-file.ts";
export { endorsementText, keyIdOf, type PublicKey, publicKeysOf } from "./custody/heads/keys.ts";
export { signedHeadsOf } from "./custody/heads/sign.ts";
export {
  isSignedBy,
  type SignedHead,
  signedHeadFile,
  signedHeadOfFile,
  signedHeadText,
} from "./custody/heads/signed-head.ts";
export { entriesOf, exportedLine } from "./custody/log.ts";
export { rowText } from "./custody/seal.ts";
export { nonceOf, timeStampQuery } from "./custody/time-stamp/query.ts";
export { LONGEST_REPLY_BYTES, readTimeStamp, type TimeStamped } from "./custody/time-stamp/reply.ts";
export { type TimeStamp, timeStampsOf } from "./custody/time-stamp/stored.ts";
export {
  type ConsistencyClaim,
  checkConsistency,
  checkInclusion,
  type InclusionClaim,
} from "./custody/tree/check.ts";
export { consistencyProof, inclusionProof, rootAt, type TreeHead, treeHead } from "./custody/tree/nodes.ts";
export { newIdsFrom } from "./ids.ts";
export { type Deed, type Library, type LibraryOptions, openLibrary } from "./library.ts";
export { openOriginalsFolder } from "./originals/folder.ts";
export type { Listed, Originals, Put, PutOptions, Source } from "./originals/originals.ts";
export type { S3Store } from "./originals/s3/place.ts";
export { beginLibrary, checkLibraryPlaces } from "./places/begin-library.ts";
export type { PlacesAnswered } from "./places/check-places.ts";
export type { CatchUpOptions, CatchUpProgress } from "./search/catch-up.ts";
export {
  type Found,
  type LibrarySearch,
  MOST_COUNTED,
  type SearchWanted,
  type Seen,
} from "./search/search.ts";
export type * from "./tables/schema.ts";
export type { Fault, VerifyCounts, VerifyOptions } from "./verify/report.ts";
export { verifyLibrary } from "./verify/verify.ts";
export type { Writing } from "./writing.ts";
