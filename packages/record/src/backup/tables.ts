/** Tables that are computed from the others: no backup needs them. */
export const COMPUTED_TABLES: readonly string[] = ["tree_node", "search_document", "search_state"];

/**
 * Every other table, with its key; one that refers to another comes after it. A table that is in neither list would be
 * lost: a test compares them with the database.
 */
export const KEPT_TABLES: Readonly<Record<string, "id" | "sha256" | "sequence" | "size">> = {
  patient: "id",
  request: "id",
  plan: "id",
  visit: "id",
  intake: "id",
  card_file: "id",
  frame: "id",
  file: "sha256",
  copy: "id",
  reading: "id",
  outline: "id",
  measurement: "id",
  series: "id",
  verdict: "id",
  picture: "id",
  mask: "id",
  consent: "id",
  portrayed: "id",
  capacity: "id",
  research_project: "id",
  release: "id",
  release_item: "id",
  access_grant: "id",
  hold: "id",
  person: "id",
  session: "id",
  signing_key: "id",
  signed_head: "size",
  time_stamp: "id",
  act: "sequence",
};
