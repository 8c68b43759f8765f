// SPDX-License-Identifier: Apache-2.0
// What the program says, in German: [its words, ours]. The holes are described in said/match.ts.
//
// One word for one thing, here and on the whole page:
//   mark Marke · link Glied · pitch Teilung · strand Trum · sprocket Kettenrad · idler Zwischenrad
//   tensioner Spanner · tensioner arm Spannschiene · guide Führungsschiene · phaser Versteller
//   follower Schlepphebel · cap Lagerdeckel · journal Zapfen · bore Bohrung · clearance Lagerspiel
//   end play Axialspiel · elongation Längung · wear Verschleiß · stroke Hub · pin Stift
//   variant Ausführung · definition Beschreibung · limit Grenze · reading Messwert · count Zählung
//   instrument, gauge Messgerät · degree wheel Gradscheibe · dead center Totpunkt (OT: oberer)
//   recording Aufzeichnung · edge Flanke · gap Lücke · window Fenster · cycle Arbeitsspiel
//   running direction Laufrichtung · crank (degrees) Kurbel · cam (degrees) Nocke
//   early früh · late spät · maker Motorhersteller · shop Werkstatt · pass bestanden
//   DO NOT TURN  NICHT DREHEN · TURN ONLY  NUR DREHEN: no other form of either
import type { Phrase } from "../../../said/match";
import { author } from "./author";
import { clearance } from "./clearance";
import { decoded } from "./decoded";
import { drawn } from "./drawn";
import { drives } from "./drives";
import { fasteners } from "./fasteners";
import { fields } from "./fields";
import { judged } from "./judged";
import { lint } from "./lint";
import { measuring } from "./measuring";
import { oil } from "./oil";
import { parts } from "./parts";
import { quick } from "./quick";
import { quick_asked } from "./quick_asked";
import { quick_phase } from "./quick_phase";
import { recorded } from "./recorded";
import { refused } from "./refused";
import { timing } from "./timing";
import { traces } from "./traces";
import { turning } from "./turning";
import { way } from "./way";
import { words } from "./words";
import { work } from "./work";

export const phrases: readonly Phrase[] = [
  ...words, ...turning, ...judged, ...measuring, ...recorded, ...decoded, ...refused, ...drawn, ...quick, ...quick_asked, ...quick_phase, ...drives, ...lint, ...fields, ...work, ...fasteners, ...traces, ...timing, ...parts, ...author, ...clearance, ...oil, ...way,
];
