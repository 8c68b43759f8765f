// SPDX-License-Identifier: Apache-2.0
// Quick answers: #/quick, #/quick/QUESTION?input=text. The phone card: no drive, no case.
import type { Schemas } from "../ask";
import { Sheet } from "../parts/sheet";
import { QuestionCard } from "../quick/question_card";
import type { Question } from "../quick/says";
import { kTiles, tile_order } from "../quick/tiles";
import { address, type Route } from "../route";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import "../quick/quick.css";

const kNoCase = "/"; // no case is called so: a change of a case changes nothing here

export function QuickScreen({ route }: { route: Route }) {
  const asked = useAsked<Schemas["quick_list"]>("/api/quick", kNoCase);
  const name = route.path[1];
  const questions = asked.told?.questions;
  if (!questions) {
    return (
      <Sheet title={t("quick_title")}>
        <p role="status">{asked.detail || t("loading")}</p>
      </Sheet>
    );
  }
  if (name === undefined) return <Tiles questions={questions} />;
  const question = questions.find((each) => each.name === name);
  if (question) return <QuestionCard key={name} question={question} query={route.query} />;
  return (
    <Sheet title={t("quick_title")} back={address(["quick"])}>
      <p>{t("quick_unknown", { name })}</p>
    </Sheet>
  );
}

function Tiles({ questions }: { questions: Question[] }) {
  return (
    <Sheet title={t("quick_title")}>
      <p class="faint">{t("quick_intro")}</p>
      <nav class="tiles" aria-label={t("quick_title")}>
        {tile_order(questions).map((question) => (
          <Tile key={question.name} question={question} />
        ))}
      </nav>
    </Sheet>
  );
}

function Tile({ question }: { question: Question }) {
  const tile = kTiles[question.name];
  return (
    <a class={question.name === "turn" ? "tile first" : "tile"} href={address(["quick", question.name])}>
      <strong>{tile ? t(tile.says) : question.help}</strong>
      {tile ? <span class="faint">{t(tile.needs)}</span> : null}
    </a>
  );
}
