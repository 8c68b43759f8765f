// SPDX-License-Identifier: Apache-2.0
// The screens by the first word of the path. Each is loaded when it is first wanted.
import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";

import { Sheet } from "./parts/sheet";
import { address, type Route, useRoute } from "./route";
import { FirstScreen } from "./screens/first";
import { useHeard } from "./state/heard";
import { t } from "./texts";

export type Screen = ComponentType<{ route: Route }>;

const kScreens: Record<string, () => Promise<Screen>> = {
  cases: () => import("./screens/cases").then((m) => m.CasesScreen),
  case: () => import("./screens/case").then((m) => m.CaseScreen),
  about: () => import("./screens/about").then((m) => m.AboutScreen),
  enter: () => import("./screens/enter").then((m) => m.EnterScreen),
  turn: () => import("./screens/turn").then((m) => m.TurnScreen),
  recording: () => import("./screens/recording").then((m) => m.RecordingScreen),
  count: () => import("./screens/count").then((m) => m.CountScreen),
  quick: () => import("./screens/quick").then((m) => m.QuickScreen),
  drives: () => import("./screens/drives").then((m) => m.DrivesScreen),
  drive: () => import("./screens/drive").then((m) => m.DriveScreen),
  login: () => import("./screens/login").then((m) => m.LoginScreen),
  pair: () => import("./screens/pair").then((m) => m.PairScreen),
  people: () => import("./screens/people").then((m) => m.PeopleScreen),
  work: () => import("./screens/work").then((m) => m.WorkScreen),
  trace: () => import("./screens/trace").then((m) => m.TraceScreen),
  oil: () => import("./screens/oil").then((m) => m.OilScreen),
  coverage: () => import("./screens/coverage").then((m) => m.CoverageScreen),
  author: () => import("./screens/author").then((m) => m.AuthorScreen),
  beside: () => import("./screens/beside").then((m) => m.BesideScreen),
  "new-engine": () => import("./screens/new_engine").then((m) => m.NewEngineScreen),
};

// Screens of their own below a case or a drive: "#/case/NAME/work", "#/drive/NAME/author".
const kOwn: Record<string, readonly string[]> = { case: ["work", "trace", "oil"], drive: ["work", "author", "beside"] };
const screen_of = ([of = "", , what = ""]: string[]) => (kOwn[of]?.includes(what) ? what : of || undefined);

export function App() {
  useHeard("language");
  const route = useRoute();
  const first = screen_of(route.path);
  // Styles of screens stay loaded; each applies only where this names its screen.
  document.documentElement.dataset.screen = first ?? "first";
  // Practice and shop never share a screen: nothing of one is shown, kept or sent in the other.
  const key = `${route.practice} ${first}`;
  if (first === undefined) return <FirstScreen key={key} route={route} />;
  return <Loaded key={key} name={first} route={route} />;
}

function Loaded({ name, route }: { name: string; route: Route }) {
  const [screen, set] = useState<{ is: Screen } | "failed" | undefined>();
  const load = kScreens[name];
  useEffect(() => {
    load?.().then(
      (is) => set({ is }),
      () => set("failed"),
    );
  }, [load]);
  if (typeof screen === "object") return <screen.is route={route} />;
  return (
    <Sheet title={load ? "" : t("no_such_place")}>
      <p role="status">{load && screen !== "failed" ? t("loading") : load ? t("failed_to_load") : ""}</p>
      {load && screen !== "failed" ? null : <a class="button" href={address([])}>{t("to_first")}</a>}
    </Sheet>
  );
}
