// Sets the theme before anything is drawn, then starts the app.
import start from "{app.js}";

const root = document.documentElement;
let theme = null;
try {
  theme = localStorage.getItem("theme");
} catch {
  // A browser that keeps nothing.
}
const dark = matchMedia("(prefers-color-scheme: dark)").matches;
root.dataset.theme = theme === "sun" || theme === "plant" ? theme : dark ? "plant" : "sun";

const asked = performance.now();
try {
  await start({ module_or_path: "{app.wasm}" });
  root.dataset.started = String(Math.round(performance.now() - asked));
} catch (fault) {
  const line = document.createElement("p");
  line.setAttribute("role", "alert");
  line.textContent =
    "gastight cannot start in this browser (" + fault + "). Nothing recorded is lost. Load the page again, or use a newer browser.";
  document.body.append(line);
}
