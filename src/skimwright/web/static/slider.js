// Shows the number of a slider while it is moved; without script the browser shows its own.
"use strict";

for (const out of document.querySelectorAll("output[for]")) {
  const slider = document.getElementById(out.getAttribute("for"));
  const show = () => { out.textContent = `${slider.value} m`; };
  slider.addEventListener("input", show);
  out.hidden = false;
  show();
}
