import { Route, Switch } from "wouter";
import { NewRequest } from "./form/new-request.tsx";
import { RequestList } from "./list/request-list.tsx";
import { WholeRequest } from "./whole/whole-request.tsx";

/** What is asked for: the list, a new one, one of them. */
export default function Request() {
  return (
    <Switch>
      <Route path="/requests" component={RequestList} />
      <Route path="/requests/new" component={NewRequest} />
      <Route path="/requests/:code">{({ code }) => <WholeRequest key={code} code={code} />}</Route>
    </Switch>
  );
}
