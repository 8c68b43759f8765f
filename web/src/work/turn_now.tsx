// SPDX-License-Identifier: Apache-2.0
// A step that turns the engine: the program's answer above everything else, and what it wants to see
// now, one tap away. Every step that is entered withdraws the state, so it is asked anew each time.
import { Turning } from "../case/turning";
import type { Judged } from "../case/judged";
import { address } from "../route";
import { t } from "../texts";

interface Props {
  name: string;
  step: string;
  judged: Judged;
}

export function TurnNow({ name, step, judged }: Props) {
  const turning = judged.is_in_force ? judged.told?.turning : undefined;
  const allows = turning?.answer.startsWith("TURN ONLY") ?? false;
  const because = turning?.because ?? "";
  const wants_marks = /marks|colored links/.test(because) && !/^(what was entered of|the state of the engine)/.test(because);
  const to = (kind: string, is_main: boolean) => (
    <a class={is_main ? "button main work_big" : "button work_big"} href={address(["enter", name, kind], { for_step: step })}>
      {t(kind === "state" ? "work_turn_state" : "work_turn_marks")}
    </a>
  );
  const leads = allows ? null : (
    <div class="turn_leads">
      <p>{t("work_turn_leads")}</p>
      {to("state", !wants_marks)}
      {to("marks", wants_marks)}
    </div>
  );
  return <Turning name={name} judged={judged} leads={leads} />;
}
