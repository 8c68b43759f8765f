// SPDX-License-Identifier: Apache-2.0
import type { shell as english } from "../en/shell";

export const shell: Record<keyof typeof english, string> = {
  no_answer: "Das Programm antwortet nicht. Ist der Rechner an und dieses Gerät in seinem Netz?",
  loading: "Frage das Programm …",
  to_content: "Zum Inhalt",
  back: "Zurück",
  no_such_place: "Diese Seite gibt es nicht.",
  to_first: "Zur ersten Seite",
  failed_to_load: "Dieser Teil der Seite ließ sich nicht laden. Beim nächsten Aufruf wird es wieder versucht.",
  practice: "Übung: ein erfundener Motor, nicht für wirkliche Arbeit.",
  maker_first: "Die aktuellen Angaben des Motorherstellers gehen vor.",
  pass: "bestanden",
  fail: "nicht bestanden",
  open: "offen",
  not_judged_since: "Nicht beurteilt seit {time}.",
  link_lost: "Keine Verbindung zum Programm seit {time}. Was Sie eingeben, bleibt hier und wird später gesendet.",
  not_sent: "{n} Einträge warten auf das Senden.",
  not_sent_one: "Ein Eintrag wartet auf das Senden.",
  language: "English",
  light: "Bei Tag",
  dark: "Im Dunkeln",
  as_device: "Wie das Gerät",
  people: "Personen und Geräte",
  log_in: "Anmelden",
  log_out: "Abmelden",
};
