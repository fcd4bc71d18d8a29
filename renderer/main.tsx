// First: the schemas are built while the modules below load.
import "./client/strict-csp.js";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { App } from "./app.js";
import { connect } from "./client/connect.js";
import { showTheme } from "./settings/settings.js";
import { BenchContext } from "./store/bench-context.js";
import { createStore } from "./store/store.js";
import "./theme/fonts.js";
import "./theme/tokens.css";
import "./theme/base.css";
import "./theme/bench.css";
import "./theme/desk.css";

showTheme();
const store = createStore(() => performance.now());
const client = connect({
  onEvent: (event) => store.apply(event),
  onLink: (state) => store.link(state),
  onTrouble: (error) => store.trouble(error),
});

const root = document.getElementById("root");
if (root === null) throw new Error("index.html has no #root");
createRoot(root).render(
  <StrictMode>
    <BenchContext value={{ store, client }}>
      <App />
    </BenchContext>
  </StrictMode>,
);
