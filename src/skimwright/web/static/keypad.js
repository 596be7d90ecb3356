// Number keys on the page: put <div class="keypad" data-for="ID"></div> below a box; data-sign adds a minus.
// Without script the phone's own keys are there.
"use strict";

for (const pad of document.querySelectorAll(".keypad[data-for]")) {
  const box = document.getElementById(pad.dataset.for);
  const keys = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"];
  if ("sign" in pad.dataset) keys.push("−");
  for (const key of keys) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = key;
    if (key === "⌫") made.setAttribute("aria-label", "Take one back");
    if (key === ".") made.setAttribute("aria-label", "Point");
    if (key === "−") { made.setAttribute("aria-label", "Plus or minus"); made.textContent = "+/−"; made.className = "wide-key"; }
    made.addEventListener("click", () => {
      if (key === "⌫") box.value = box.value.slice(0, -1);
      else if (key === "−") box.value = box.value.startsWith("-") ? box.value.slice(1) : `-${box.value}`;
      else box.value += key;
      box.dispatchEvent(new Event("input", { bubbles: true }));
    });
    pad.append(made);
  }
}
