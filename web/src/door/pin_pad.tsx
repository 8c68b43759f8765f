// SPDX-License-Identifier: Apache-2.0
// Large digits for gloves. A keyboard types into the field itself.
import { t } from "../texts";

export const kLongestPin = 8;

interface Props {
  pin: string;
  on_pin: (pin: string) => void;
  is_resting: boolean;
}

export function PinPad({ pin, on_pin, is_resting }: Props) {
  const digit = (one: string) => (
    <button key={one} type="button" onClick={() => on_pin((pin + one).slice(0, kLongestPin))}>
      {one}
    </button>
  );
  return (
    <div class="door-pad" role="group" aria-label={t("door_pad")}>
      {["1", "2", "3", "4", "5", "6", "7", "8", "9"].map(digit)}
      <button type="button" class="word" aria-label={t("door_erase_heard")} onClick={() => on_pin(pin.slice(0, -1))}>
        {t("door_erase")}
      </button>
      {digit("0")}
      <button class="main word" disabled={is_resting}>
        {t("log_in")}
      </button>
    </div>
  );
}
