import type { ColumnType } from "kysely";

/** A column that is never updated, in the type as in life. */
export type Fixed<T> = ColumnType<T, T, never>;
