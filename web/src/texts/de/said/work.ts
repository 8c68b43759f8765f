// SPDX-License-Identifier: Apache-2.0
// The work step by step: cards of fasteners, the wrench to take.
import type { Phrase } from "../../../said/match";

export const work: readonly Phrase[] = [
  ["used once: fit new", "nur einmal verwendbar: neu einbauen"],
  ["single use not said: treated as used once, fit new", "einmalige Verwendung nicht angegeben: wie nur einmal verwendbar behandelt, neu einbauen"],
  ["may be used again within the maker's limits", "darf in den Grenzen des Motorherstellers wieder verwendet werden"],
  ["no wrench of the list fits: borrow or buy one that does", "kein Schlüssel der Liste passt: einen passenden leihen oder kaufen"],
  ["then {=0} deg further, seen from the wrench", "dann {0}° weiter, vom Schlüssel aus gesehen"],
  ["the procedure wants it before this step", "der Ablauf verlangt es vor diesem Schritt"],
  ["take {=0}", "Nehmen Sie {0}"],
  ["an angle lost in the middle: new bolt, from the first step on", "Winkel mittendrin verloren: neue Schraube, vom ersten Schritt an"],
  ["an angle lost in the middle: the maker's rule; where there is none, new bolt", "Winkel mittendrin verloren: die Regel des Motorherstellers; wo es keine gibt, neue Schraube"],
  ["no angle over an adapter: it winds up; never with an impact tool", "kein Winkel über einen Adapter: er verdreht sich; nie mit dem Schlagschrauber"],
  ["ask whether thread and head are oiled or dry: not in the definition", "fragen Sie, ob Gewinde und Kopf geölt oder trocken sind: steht nicht in der Beschreibung"],
  ["thread not in the definition: a unit mixed up cannot be caught", "Gewinde steht nicht in der Beschreibung: eine verwechselte Einheit fällt nicht auf"],
  ["no steps in the definition: follow the engine maker", "keine Schritte in der Beschreibung: nach Vorgabe des Motorherstellers"],
  ["no clamp load shown: the pitch is not in the definition", "keine Klemmkraft gezeigt: die Steigung steht nicht in der Beschreibung"],
  ["no clamp load shown: the class is not in the definition", "keine Klemmkraft gezeigt: die Festigkeitsklasse steht nicht in der Beschreibung"],
  ["no clamp load shown: whether thread and head are oiled or dry is not known", "keine Klemmkraft gezeigt: ob Gewinde und Kopf geölt oder trocken sind, ist nicht bekannt"],
];
