import type { Expression, ExpressionBuilder, SqlBool } from "kysely";
import type { CardFileTable, CopyTable, FileTable, FrameTable, IntakeTable } from "./rows/cards.ts";
import type {
  AccessGrantTable,
  CapacityTable,
  ConsentTable,
  HoldTable,
  PortrayedTable,
  ReleaseItemTable,
  ReleaseTable,
  ResearchProjectTable,
} from "./rows/consent.ts";
import type {
  ActTable,
  SignedHeadTable,
  SigningKeyTable,
  TimeStampTable,
  TreeNodeTable,
} from "./rows/custody.ts";
import type { DerivativeTable } from "./rows/derivatives.ts";
import type { PatientTable, PlanTable, RequestTable, VisitTable } from "./rows/jobs.ts";
import type { PersonTable, SessionTable } from "./rows/people.ts";
import type { SearchDocumentTable, SearchStateTable } from "./rows/search.ts";

export type * from "./rows/cards.ts";
export type * from "./rows/consent.ts";
export type * from "./rows/custody.ts";
export type * from "./rows/derivatives.ts";
export type * from "./rows/jobs.ts";
export type * from "./rows/people.ts";
export type * from "./rows/search.ts";

/**
 * What is kept, table by table. Ids are ULIDs, times ISO 8601 in UTC unless a name says otherwise, JSON is text:
 * plain SQL that every engine reads alike.
 */
export interface Schema {
  search_document: SearchDocumentTable;
  search_state: SearchStateTable;
  patient: PatientTable;
  request: RequestTable;
  plan: PlanTable;
  visit: VisitTable;
  intake: IntakeTable;
  card_file: CardFileTable;
  frame: FrameTable;
  file: FileTable;
  copy: CopyTable;
  reading: DerivativeTable;
  outline: DerivativeTable;
  measurement: DerivativeTable;
  series: DerivativeTable;
  verdict: DerivativeTable;
  picture: DerivativeTable;
  mask: DerivativeTable;
  consent: ConsentTable;
  portrayed: PortrayedTable;
  capacity: CapacityTable;
  research_project: ResearchProjectTable;
  release: ReleaseTable;
  release_item: ReleaseItemTable;
  access_grant: AccessGrantTable;
  hold: HoldTable;
  person: PersonTable;
  session: SessionTable;
  signing_key: SigningKeyTable;
  act: ActTable;
  tree_node: TreeNodeTable;
  signed_head: SignedHeadTable;
  time_stamp: TimeStampTable;
}

/** A condition over rows of these tables, for any query that has them. */
export type Condition<T extends keyof Schema> = (is: ExpressionBuilder<Schema, T>) => Expression<SqlBool>;
