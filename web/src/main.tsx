// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";

import { App } from "./app";
import { ask } from "./ask";
import "./style/tokens.css";
import "./style/sheet.css";

// Nobody is logged in, and one has to be.
void ask("GET", "/api/me").then((me) => {
  if (me.status === 401) location.replace("/login");
});

const page = document.getElementById("page");
if (page) render(<App />, page);
