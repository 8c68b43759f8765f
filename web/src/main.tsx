// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";

import { App } from "./app";
import { take_place } from "./route";
import { start_said } from "./said/said";
import { start_drops } from "./state/drops";
import { start_focus_seen } from "./state/focus_seen";
import { start_offline } from "./state/offline";
import { start_outbox } from "./state/outbox";
import { start_printing } from "./state/print";
import { start_ringing } from "./state/ring";
import "./style/tokens.css";
import "./style/sheet.css";

take_place();
const page = document.getElementById("page");
if (page) render(<App />, page);
start_said();
void start_outbox();
start_offline();
start_drops();
start_focus_seen();
start_ringing();
start_printing();
