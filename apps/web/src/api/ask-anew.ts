import type { Query, QueryClient } from "@tanstack/react-query";

/**
 * Asks anew for what may be out of date. A first answer that is on its way may have been given before: the library lets it
 * come and takes it for fresh, so it is asked for once more when it is there.
 * @param concerns which answers; left out: all of them
 */
export function askAnew(client: QueryClient, concerns: (query: Query) => boolean = () => true): void {
  const underWay = client.getQueryCache().findAll({
    predicate: (query) =>
      concerns(query) && query.state.fetchStatus === "fetching" && query.state.data === undefined,
  });
  void client.invalidateQueries({ predicate: concerns });
  for (const { promise, queryKey } of underWay) {
    void promise?.then(
      () => client.invalidateQueries({ queryKey, exact: true }),
      () => {},
    );
  }
}
