/** What is used of dcmjs 0.52, which brings no types. */
declare module "dcmjs" {
  interface Element {
    readonly vr: string;
    readonly Value: readonly unknown[];
  }
  interface DicomDict {
    dict: Record<string, Element>;
    write(options: { readonly fragmentMultiframe: boolean }): ArrayBuffer;
  }
  const dcmjs: {
    readonly log: { setLevel(level: "silent"): void };
    readonly data: {
      readonly DicomDict: new (meta: Record<string, Element>) => DicomDict;
      readonly DicomMetaDictionary: {
        denaturalizeDataset(dataset: object): Record<string, Element>;
      };
    };
  };
  export default dcmjs;
}
