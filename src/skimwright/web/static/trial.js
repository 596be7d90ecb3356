// The trial log with thumbs: steps, and going on while there is no line.  Without it, boxes are typed into.
"use strict";

(() => {
  const $ = (id) => document.getElementById(id);
  const guess = $("guess-form"), run = $("run-form"), undo = $("undo-form");
  if (!run) return;
  const logButton = document.querySelector(".log-it"), undoButton = document.querySelector(".undo");
  // the button to log with keeps its place when it is shut: a second tap must not fall on UNDO
  const distance = $("distance");

  // distance: a ten, then a metre more or less
  const tens = () => [...run.elements.tens];
  for (const ten of tens()) ten.addEventListener("change", () => { distance.value = ten.value; });
  for (const step of run.querySelectorAll(".step")) {
    step.hidden = false;
    step.addEventListener("click", () => {
      const now = parseFloat(distance.value.replace(",", ".")) || 0;
      distance.value = String(Math.max(0, Math.round(10 * (now + Number(step.dataset.step))) / 10));
      for (const ten of tens()) ten.checked = ten.value === distance.value;
      distance.dispatchEvent(new Event("input", { bubbles: true }));
    });
  }

  // going on without waiting for the house
  const number = () => Number(document.querySelector(".next-run").textContent);
  const setNumber = (n) => { for (const each of document.querySelectorAll(".next-run")) each.textContent = String(n); };
  const field = (entry, name) => (entry.fields.find(([n]) => n === name) || ["", ""])[1];

  guess.addEventListener("queue:kept", (event) => {
    run.elements.guess_key.value = event.detail.key;
    run.elements.guess.value = field(event.detail, "guess");
    run.querySelector(".locked").textContent = field(event.detail, "guess");
    run.dataset.last = "";
    guess.hidden = true;
    run.hidden = logButton.disabled = false;
    run.querySelector("input[type=radio]").focus();
  });

  run.addEventListener("queue:kept", (event) => {
    const entry = event.detail, said = document.createElement("li");
    said.className = "kept";
    said.textContent = `${number()} in this phone, not sent yet: ${[field(entry, "distance_m") && `${field(entry, "distance_m")} m`,
      field(entry, "side"), field(entry, "ending"), field(entry, "time") && `${field(entry, "time")} s`].filter(Boolean).join(", ")}`;
    document.querySelector("#last ol").prepend(said);
    undo.elements.of.value = entry.key;
    undoButton.disabled = false;
    undoButton.querySelector(".undo-run").textContent = `run ${number()}`;
    setNumber(number() + 1);
    guess.querySelector("legend").textContent = `Run ${number()}: what does the crew think?`;
    guess.dataset.last = "";
    run.reset();
    run.elements.guess_key.value = run.elements.guess.value = "";
    guess.hidden = false;
    run.hidden = logButton.disabled = true;
    guess.querySelector("button").focus();
    window.scrollTo(0, 0);
  });

  undo.addEventListener("queue:kept", () => {
    document.querySelector("#last .kept")?.remove();
    undo.elements.of.value = "";
    undoButton.disabled = true;
  });
})();
