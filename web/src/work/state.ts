// SPDX-License-Identifier: Apache-2.0
// The state of the engine as the strip shows it: five things that are always asked after, each bank
// for itself; what nobody has given is not known.
import type { Key } from "../texts";
import type { ProcedureSaid, StepSaid } from "./says";

export interface Told {
  bank: number; // 0: of the engine
  fact: string; // empty: not known
}

interface Watched {
  says: Key;
  told: Told[];
}

const kWatched: [Key, string[]][] = [
  ["work_s_chain", ["chain on", "chain off", "chain as found"]],
  ["work_s_pin", ["tensioner pinned", "tensioner released", "tensioner out"]],
  ["work_s_phaser", ["phaser locked", "phaser free"]],
  ["work_s_camshaft", ["camshaft held", "camshaft free"]],
  ["work_s_crank", ["crank at reference", "crank elsewhere"]],
];

export function parted(said: string): Told {
  const found = /^bank (\d+): (.*)$/.exec(said);
  return found ? { bank: Number(found[1]), fact: found[2] ?? "" } : { bank: 0, fact: said };
}

export function watched(procedure: ProcedureSaid): Watched[] {
  const state = (procedure.state ?? []).map(parted);
  const banks = banks_of(procedure);
  return kWatched.map(([says, facts]) => {
    const known = state.filter((one) => facts.includes(one.fact));
    const is_whole = says === "work_s_crank" || banks.length === 0 || known.some((one) => one.bank === 0);
    const of = is_whole ? [0] : banks;
    return { says, told: of.map((bank) => known.find((one) => one.bank === bank) ?? { bank, fact: "" }) };
  });
}

// All else that is known.
export function rest_of_state(procedure: ProcedureSaid): string[] {
  const all = kWatched.flatMap(([, facts]) => facts);
  return (procedure.state ?? []).filter((said) => !all.includes(parted(said).fact));
}

function banks_of(procedure: ProcedureSaid): number[] {
  const of_steps = procedure.steps.flatMap((one) => (one.bank === undefined ? [] : [one.bank]));
  const of_state = (procedure.state ?? []).map((said) => parted(said).bank).filter((bank) => bank > 0);
  return [...new Set([...of_steps, ...of_state])].sort((a, b) => a - b);
}

// The step that gives what another one lacks: the last one before it, else any.
export function giver_of(procedure: ProcedureSaid, step: StepSaid, fact: string): StepSaid | undefined {
  const wanted = parted(fact);
  const gives = (one: StepSaid) =>
    one !== step &&
    one.gives.map(parted).some((give) => {
      const bank = give.bank || one.bank || 0;
      return give.fact === wanted.fact && (bank === 0 || wanted.bank === 0 || bank === wanted.bank);
    });
  return procedure.steps.filter((one) => one.number < step.number && gives(one)).at(-1) ?? procedure.steps.find(gives);
}
