/** Attributes by their keyword; sequences are lists of the same. */
export interface Dataset {
  readonly [keyword: string]:
    | string
    | number
    | null
    | ArrayBuffer
    | readonly (string | number | ArrayBuffer | Dataset)[]
    | undefined;
}

/** What reads a file must know before it reads anything else. */
export interface FileMeta {
  readonly sopClassUid: string;
  readonly sopInstanceUid: string;
  readonly transferSyntaxUid: string;
}

/** Names this program among those that write DICOM: a UUID of our own, drawn once. */
const IMPLEMENTATION_CLASS_UID = "2.25.164906783092774917239018416283530162433";
const IMPLEMENTATION_VERSION = "SAMESCALE_1";

/** One DICOM file, text as UTF-8, attributes in the order of their tags. @source DicomPS3.10 */
export async function part10(dataset: Dataset, meta: FileMeta): Promise<Uint8Array> {
  const { default: dcmjs } = await import("dcmjs");
  // Its messages name values, and values are patients.
  dcmjs.log.setLevel("silent");
  const { DicomDict, DicomMetaDictionary } = dcmjs.data;
  const file = new DicomDict(
    DicomMetaDictionary.denaturalizeDataset({
      FileMetaInformationVersion: new Uint8Array([0, 1]).buffer,
      MediaStorageSOPClassUID: meta.sopClassUid,
      MediaStorageSOPInstanceUID: meta.sopInstanceUid,
      TransferSyntaxUID: meta.transferSyntaxUid,
      ImplementationClassUID: IMPLEMENTATION_CLASS_UID,
      ImplementationVersionName: IMPLEMENTATION_VERSION,
    }),
  );
  file.dict = DicomMetaDictionary.denaturalizeDataset({
    SpecificCharacterSet: "ISO_IR 192",
    ...dataset,
    SOPClassUID: meta.sopClassUid,
    SOPInstanceUID: meta.sopInstanceUid,
    _vrMap: { PixelData: "OB" },
  });
  // One fragment, so that the picture's bytes stand in the file as they are.
  return new Uint8Array(file.write({ fragmentMultiframe: false }));
}
