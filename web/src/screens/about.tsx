// SPDX-License-Identifier: Apache-2.0
// #/about/CASE: what stands before the entries: title, drive, engine, instruments. Only what was
// changed is sent; it becomes a record of its own.
import "../enter/enter.css";

import { useState } from "preact/hooks";

import { ask, case_path, type Schemas } from "../ask";
import { suggestions } from "../enter/entry_form";
import { Fields, FormFoot, type Values } from "../enter/form";
import { filled, head_fields, mistake_path, missing, type OpenApi } from "../enter/schema";
import { field_word, mistake_words } from "../enter/words";
import { Sheet } from "../parts/sheet";
import { address, go, type Route } from "../route";
import { useAsked } from "../state/asked";
import { t } from "../texts";

export function AboutScreen({ route }: { route: Route }) {
  const name = route.path[1] ?? "";
  const view = useAsked<Schemas["case_view"]>(case_path(name), name);
  const api = useAsked<OpenApi>("/api/openapi.json");
  return (
    <Sheet title={t("see_about")} back={address(["case", name])} blocks={[{ name: t("in_case"), says: name }]}>
      <div class="stack enter">
        {view.told && api.told ? (
          <About key={name} name={name} view={view.told} api={api.told} />
        ) : (
          <p role="status">{view.detail || api.detail || t("loading")}</p>
        )}
      </div>
    </Sheet>
  );
}

function About({ name, view, api }: { name: string; view: Schemas["case_view"]; api: OpenApi }) {
  const fields = head_fields(api);
  const [before] = useState(() => head_of(view.case as Values, fields.map((one) => one.name)));
  const [values, set_values] = useState<Values>(before);
  const [wrong, set_wrong] = useState("");
  const [mistakes, set_mistakes] = useState<Record<string, string>>({});
  const save = async () => {
    const lacking = (values["instruments"] as Values[] | undefined)?.flatMap((one) =>
      missing(fields.find((field) => field.name === "instruments")?.fields ?? [], one));
    if (lacking?.length) return set_wrong(t("in_lacks", { what: lacking.map((one) => field_word(one.word, one.says)).join(", ") }));
    const head = changed(before, (filled(values) ?? {}) as Values);
    if (Object.keys(head).length === 0) return go(["case", name]);
    const answer = await ask("POST", case_path(name, "head"), head);
    if (answer.ok) return go(["case", name]);
    const at = answer.mistakes.map((one) => {
      const path = mistake_path(head, one);
      return [path && `entry/${path}`, mistake_words(one)] as const;
    });
    set_mistakes(Object.fromEntries(at));
    set_wrong([answer.detail, ...at.filter(([path]) => path === "").map(([, words]) => words)].join(" "));
  };
  return (
    <form
      class="stack entry"
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <p class="faint">{t("about_help")}</p>
      <Fields fields={fields} values={values} on_values={set_values} mistakes={mistakes} suggestions={suggestions(undefined, view)} />
      {wrong ? <p class="wrong" role="alert">{wrong}</p> : null}
      <FormFoot of_case={name} says={t("about_save")} />
    </form>
  );
}

function head_of(from: Values, names: string[]): Values {
  return Object.fromEntries(names.filter((name) => from[name] !== undefined).map((name) => [name, from[name]]));
}

// What is as it was is not sent: absent means that it stays.
export function changed(before: Values, after: Values): Values {
  return Object.fromEntries(
    Object.entries(after).filter(([name, value]) => JSON.stringify(value) !== JSON.stringify(before[name])),
  );
}
