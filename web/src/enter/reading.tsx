// SPDX-License-Identifier: Apache-2.0
// Readings: which quantity, then Series.
import { useEffect, useMemo, useState } from "preact/hooks";

import { case_path, type Schemas } from "../ask";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import { type AnyEntry, first_wanted, next_open, type Position, positions_of, to_do } from "./positions";
import { entries_of } from "./reading_entry";
import { Series } from "./reading_series";
import { quantity_word } from "./words";

interface Props {
  name: string;
  view: Schemas["case_view"];
  drive: Schemas["drive"];
  query: Record<string, string>;
  old?: AnyEntry | undefined; // the reading that is corrected
}

export function ReadingForm({ name, view, drive, query, old }: Props) {
  const found = useAsked<Schemas["findings"]>(case_path(name, "findings"), name);
  const positions = useMemo(() => positions_of(drive), [drive]);
  const [chosen, set_chosen] = useState<Chosen | undefined>(() => asked_for(old ? said_by(old) : query, positions));
  // What the findings ask for first is taken once, then kept: it must not change under the digits.
  const is_known = found.told !== undefined || found.detail !== "" || chosen !== undefined;
  useEffect(() => {
    if (!is_known || chosen) return;
    const wanted = first_wanted(found.told, positions, entries_of(view, name)) ?? positions[0];
    if (wanted) set_chosen({ quantity: wanted.quantity, place: undefined, near: wanted.place });
  }, [is_known, chosen, found.told, positions, view, name]);
  if (positions.length === 0) return <p>{t("in_nothing_to_judge")}</p>;
  if (!chosen) return <p role="status">{t("loading")}</p>;
  const { quantity } = chosen;
  return (
    <div class="stack">
      {old ? null : (
        <Quantities
          positions={positions}
          quantity={quantity}
          on_chosen={(next) => set_chosen({ quantity: next, place: undefined })}
        />
      )}
      <Series
        key={quantity}
        name={name}
        view={view}
        found={found}
        quantity={quantity}
        positions={positions.filter((one) => one.quantity === quantity)}
        first={chosen.place ?? chosen.near}
        is_place_given={chosen.place !== undefined}
        after={next_quantity(positions, quantity, entries_of(view, name))}
        on_after={(next) => set_chosen({ quantity: next, place: undefined })}
        journals={journals_in(drive)}
        old={old}
      />
    </div>
  );
}

function said_by(old: AnyEntry): Record<string, string> {
  return { quantity: String(old["quantity"]), subject: String(old["place"]) };
}

interface Chosen {
  quantity: string;
  place: string | undefined; // asked for by name
  near?: string; // begin there, at the first with no reading
}

// The next quantity, in the order of the drive, of which something is not measured yet.
function next_quantity(positions: Position[], quantity: string, entries: AnyEntry[]): string | undefined {
  const names = [...new Set(positions.map((one) => one.quantity))];
  const from = names.indexOf(quantity);
  const is_open = (name: string) =>
    name !== "journal clearance" &&
    next_open(to_do(positions.filter((one) => one.quantity === name), []), -1, entries) !== undefined;
  return [...names.slice(from + 1), ...names.slice(0, from)].find(is_open);
}

function asked_for(query: Record<string, string>, positions: Position[]): Chosen | undefined {
  const subject = query["subject"] ?? query["place"];
  const quantity = query["quantity"];
  const is = positions.find(
    (one) => (!quantity || one.quantity === quantity) && (!subject || one.place === subject),
  );
  if (!quantity && !subject) return undefined;
  return is ? { quantity: is.quantity, place: subject } : undefined;
}

function journals_in(drive: Schemas["drive"]): number {
  return Math.max(1, ...(drive.banks ?? []).flatMap((bank) => (bank.camshafts ?? []).map((cam) => cam.journals ?? 1)));
}

function Quantities(props: { positions: Position[]; quantity: string; on_chosen: (quantity: string) => void }) {
  const names = [...new Set(props.positions.map((one) => one.quantity))];
  return (
    <label class="quantity">
      <span class="heard">{t("in_quantity")}</span>
      <select value={props.quantity} onChange={(event) => props.on_chosen(event.currentTarget.value)}>
        {names.map((one) => (
          <option value={one} key={one}>
            {quantity_word(one)}
          </option>
        ))}
      </select>
    </label>
  );
}
