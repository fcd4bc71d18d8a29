// First: the schemas are built while the modules below load.
import "./client/strict-csp.js";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { App } from "./app.js";
import { connect } from "./client/connect.js";
import { showTheme } from "./settings/settings.js";
import { BenchContext } from "./store/bench-context.js";
import { Announcer } from "./sound/announcer.js";
import { benchLost } from "./sound/cues.js";
import { platformVoice } from "./sound/platform-voice.js";
import { maySoundUnasked } from "./sound/unasked.js";
import { createStore } from "./store/store.js";
import "./theme/fonts.js";
import "./theme/tokens.css";
import "./theme/base.css";
import "./theme/bench.css";
import "./theme/desk.css";
import "./theme/apart.css";
import "./theme/plan-edit.css";

showTheme();
const store = createStore(() => performance.now());
const announcer = new Announcer(platformVoice, () => performance.now());
const client = connect({
  onEvent(event) {
    const before = store.get();
    store.apply(event);
    announcer.hear(event, before);
  },
  onLink(state) {
    if (state === "lost" && store.get().link.state === "open") announcer.give(benchLost);
    store.link(state);
  },
  onTrouble: (error) => store.trouble(error),
});

// Both hands hold probes: where the browser allows it, tones need no touch. Elsewhere it lets them
// through once the page was touched, and the start button is touch enough.
void maySoundUnasked().then((may) => {
  if (may) void announcer.wake();
});
for (const touch of ["pointerdown", "keydown"]) {
  window.addEventListener(touch, () => void announcer.wake());
}

const root = document.getElementById("root");
if (root === null) throw new Error("index.html has no #root");
createRoot(root).render(
  <StrictMode>
    <BenchContext value={{ store, client, announcer }}>
      <App />
    </BenchContext>
  </StrictMode>,
);
