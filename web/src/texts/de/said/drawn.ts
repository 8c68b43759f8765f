// SPDX-License-Identifier: Apache-2.0
// What stands on drawings of the drive.
import type { Phrase } from "../../../said/match";

export const drawn: readonly Phrase[] = [
  ["The sprocket marks stand right again every {#0} crank turns", "Die Marken der Räder stehen alle {0} Kurbelumdrehungen wieder richtig"],
  ["the marked links of {/0} together with them after {#1}", "die markierten Glieder von {0} mit ihnen zusammen nach {1}"],
  ["Never turn an engine to wait for marked links.", "Nie einen Motor drehen, um auf markierte Glieder zu warten."],
  ["{/0}: drawn {#1} longer than new", "{0}: um {1} länger als neu gezeichnet"],
  ["{/0} {#1} by it", "{0} dadurch {1}"],
  ["{#0}: {#1}", "{0}: {1}"],
  ["not to scale", "nicht maßstäblich"],
  ["to scale", "maßstäblich"],
  ["schematic, not to scale", "schematisch, nicht maßstäblich"],
];
