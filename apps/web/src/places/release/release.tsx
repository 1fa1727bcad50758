import { Route, Switch } from "wouter";
import { Choose } from "./choose/choose.tsx";
import { Recalls } from "./receipts/recalls.tsx";
import { Receipt } from "./receipts/receipt.tsx";
import { Receipts } from "./receipts/receipts.tsx";
import { Projects } from "./start/projects.tsx";
import { Start } from "./start/start.tsx";

/** What may leave, to whom, in which form, and the proof of it. */
export default function Release() {
  return (
    <Switch>
      <Route path="/release/receipts" component={Receipts} />
      <Route path="/release/receipts/:id">{({ id }) => <Receipt id={id} />}</Route>
      <Route path="/release/recalls" component={Recalls} />
      <Route path="/release/projects" component={Projects} />
      <Route path="/release/:code">
        {({ code }) => <Choose key={code} code={decodeURIComponent(code)} />}
      </Route>
      <Route component={Start} />
    </Switch>
  );
}
