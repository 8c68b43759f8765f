// SPDX-License-Identifier: Apache-2.0
// The work of a case as a screen sees it, and why nothing that allows anything may be read from it.
import { useEffect } from "preact/hooks";

import { case_path, type Schemas } from "../ask";
import { type Findings, judged, type Judged, useAround, why_not_in_force } from "../case/judged";
import { type Asked, ready_offline, useAsked } from "../state/asked";
import { entered_by, waiting_of } from "../state/outbox";
import type { Key } from "../texts";
import { work_of_case, type WorkSaid } from "./says";
import { type Around, steps_waiting } from "./steps";

const kNoCase = "/"; // no case is called so

export interface WorkOfCase {
  view: Schemas["case_view"] | undefined;
  work: Asked<WorkSaid>;
  judged: Judged;
  around: Around;
  first: (string | undefined)[]; // who works here, as it may be typed
  is_gone: boolean;
}

export function useWork(name: string): WorkOfCase {
  const view = useAsked<Schemas["case_view"]>(case_path(name), name);
  const work = useAsked<WorkSaid>(work_of_case(name), name);
  const findings = useAsked<Findings>(case_path(name, "findings"), name);
  const now = useAround(name);
  const me = useAsked<Schemas["me"]>("/api/me", kNoCase).told;
  const seat = me && [me.name, me.device].filter(Boolean).join(", ");
  useEffect(() => entered_by(seat), [seat]);
  useEffect(() => void ready_offline("/api/openapi.json"), []);
  const told = judged(findings, now);
  const why_not: Key | undefined = why_not_in_force(work, now) ?? told.why_not;
  const turning = told.is_in_force ? told.told?.turning.answer : undefined;
  return {
    view: view.told,
    work,
    judged: told,
    around: {
      why_not,
      may_turn: turning?.startsWith("TURN ONLY") ?? false,
      waiting: steps_waiting(waiting_of(name)),
      steps: work.told?.procedure?.steps ?? [],
    },
    first: [me?.name, me?.device, seat],
    is_gone: view.status === 404,
  };
}
