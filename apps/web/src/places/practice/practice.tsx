import { useLocation } from "wouter";
import { Empty } from "../../parts/empty.tsx";
import { Link } from "../../parts/link.tsx";
import { words } from "../../words/index.ts";
import { Figures } from "./figures/figures.tsx";
import { FileEditor } from "./file-editor.tsx";
import { FirstRun } from "./first-run/first-run.tsx";
import { RemoveDemonstration } from "./first-run/remove-demonstration.tsx";
import { Keeping } from "./keeping/keeping.tsx";
import { FrontOfLens } from "./kit/front-of-lens.tsx";
import { Kit } from "./kit/kit.tsx";
import { Scales } from "./kit/scales.tsx";
import { Overview } from "./overview.tsx";
import { People } from "./people/people.tsx";
import { PracticePage } from "./practice-page.tsx";
import { Retention } from "./retention/retention.tsx";
import { ViewSet } from "./views/view-set.tsx";
import { ViewSetList } from "./views/view-set-list.tsx";
import { Wording } from "./wording/wording.tsx";

/** The department's own rules; each part under its own address. */
export default function Practice() {
  const [path] = useLocation();
  const [, , place = "", ...rest] = path.split("/").map(decodeURIComponent);
  const [one = ""] = rest;
  switch (place) {
    case "":
      return <Overview />;
    case "views":
      return one === "" ? <ViewSetList /> : <ViewSet key={one} setKey={one} />;
    case "file":
      return <FileEditor key={rest.join("/")} path={rest.join("/")} />;
    case "kit":
      if (one === "scales") return <Scales />;
      return one === "" ? <Kit /> : <FrontOfLens key={one} lensId={one} />;
    case "people":
      return <People />;
    case "wording":
      return <Wording />;
    case "retention":
      return <Retention />;
    case "keeping":
      return <Keeping />;
    case "figures":
      return <Figures />;
    case "first-run":
      return <FirstRun />;
    case "remove-demonstration":
      return <RemoveDemonstration />;
  }
  return (
    <PracticePage here="" title={words.shell.noPlace}>
      <Empty title={words.shell.noPlaceHelp}>
        <Link to="/practice" look="chief">
          {words.practice.nav}
        </Link>
      </Empty>
    </PracticePage>
  );
}
