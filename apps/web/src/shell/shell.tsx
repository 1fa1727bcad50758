import { useQueryClient } from "@tanstack/react-query";
import { Suspense, useEffect, useState } from "react";
import { Route, Switch, useLocation } from "wouter";
import { type Connection, listen } from "../api/live.ts";
import { Empty } from "../parts/empty.tsx";
import { Link } from "../parts/link.tsx";
import { words } from "../words/index.ts";
import { FaultBoundary } from "./fault-boundary.tsx";
import { useFirstRun } from "./first-run.ts";
import { useKeys } from "./keys.ts";
import { KeysDialog } from "./keys-dialog.tsx";
import { useLight } from "./light.ts";
import { NoticeList } from "./notice-list.tsx";
import { OpeningsWaiting } from "./openings.tsx";
import { PlaceFrame } from "./place-frame.tsx";
import { type Place, placeAt, places, placesFor } from "./places.ts";
import { PlacesColumn } from "./places-column.tsx";
import { PlacesRow } from "./places-row.tsx";
import { useMe } from "./session.tsx";
import css from "./shell.module.css";

/** Everything round the places: the column of places, what was done, the keys, the connection. */
export function Shell() {
  const [path, go] = useLocation();
  const [light, setLight] = useLight();
  const [connection, setConnection] = useState<Connection>("open");
  const [isGoing, setGoing] = useState(false);
  const client = useQueryClient();
  const me = useMe();
  useEffect(() => listen(client, setConnection), [client]);
  useFirstRun(me.role === "photographer" || me.role === "lead");

  const here = placeAt(path);
  useKeys(words.shell.everywhere, [
    { key: "g", does: words.shell.goKey, run: () => setGoing(true) },
    { key: "l", does: words.shell.lightKey, run: () => setLight(light === "dim" ? "light" : "dim") },
  ]);
  return (
    <div className={css.shell}>
      <a className={css.skip} href="#work">
        {words.shell.skip}
      </a>
      {isGoing && <Going to={placesFor(me.role)} go={go} end={() => setGoing(false)} />}
      <PlacesColumn here={here} me={me} light={light} setLight={setLight} />
      <main id="work" className={css.main} tabIndex={-1}>
        {me.isDemonstration && <p className={`${css.invented} quiet`}>{words.shell.demonstration}</p>}
        <OpeningsWaiting count={me.openingsWaiting} />
        {connection === "lost" && (
          <p className={css.lost} role="alert">
            {words.shell.lost}
          </p>
        )}
        <FaultBoundary key={here?.path ?? path}>
          <Suspense fallback={null}>
            <Switch>
              {places.map((place) => (
                <Route
                  key={place.path}
                  path={place.path === "/" ? "/" : new RegExp(`^${place.path}(?:/.*)?$`)}
                >
                  <Shown place={place} />
                </Route>
              ))}
              <Route>
                <PlaceFrame title={words.shell.noPlace}>
                  <Empty title={words.shell.noPlaceHelp}>
                    <Link to="/" look="chief">
                      {words.shell.toToday}
                    </Link>
                  </Empty>
                </PlaceFrame>
              </Route>
            </Switch>
          </Suspense>
        </FaultBoundary>
      </main>
      <PlacesRow here={here} me={me} light={light} setLight={setLight} />
      <NoticeList />
      <KeysDialog />
    </div>
  );
}

function Shown({ place }: { readonly place: Place }) {
  const Page = place.page();
  return <Page />;
}

/** After `g`: the next letter names a place. */
function Going(props: {
  readonly to: readonly Place[];
  readonly go: (path: string) => void;
  readonly end: () => void;
}) {
  const { to, go, end } = props;
  useKeys(
    words.shell.places,
    [
      ...to.map(({ key, name, path }) => ({ key, does: name, run: () => go(path) })),
      { key: "Escape", does: "", run: () => {} },
    ].map(({ run, ...rest }) => ({
      ...rest,
      run: () => {
        run();
        end();
      },
    })),
  );
  return (
    <div className={css.going} role="status">
      {to.map(({ key, name }) => (
        <span key={key}>
          <kbd>{key}</kbd> {name}
        </span>
      ))}
    </div>
  );
}
