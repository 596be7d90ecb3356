// The finish phone: tap the lanes as they come in.  Without this file the same form is filled by its lists.
"use strict";

function finishPad(form) {
  const rows = [...form.querySelectorAll(".said-row")];
  const steps = [];  // what was tapped, so that it can be undone
  let mode = "";

  const pad = document.createElement("div");
  pad.className = "pad";
  const tiles = rows.map((row) => {
    const tile = document.createElement("button");
    tile.type = "button";
    tile.className = "tile";
    tile.append(row.querySelector("svg").cloneNode(true));
    const number = document.createElement("b");
    number.textContent = row.dataset.boat;
    const said = document.createElement("span");
    said.className = "said-word";
    tile.append(number, said);
    tile.addEventListener("click", () => tap(row));
    pad.append(tile);
    return tile;
  });

  const button = (text, kind, act) => {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.className = kind;
    made.addEventListener("click", act);
    return made;
  };
  const modes = {
    tie: button("Tie with the last", "mode", () => turn("tie")),
    "not finished": button("NOT FINISHED", "mode edge", () => turn("not finished")),
    disqualified: button("DISQUALIFIED", "mode edge", () => turn("disqualified")),
  };
  const undo = button("UNDO", "undo", () => {
    const step = steps.pop();
    if (step) for (const [row, was] of step) select(row).value = was;
    mode = "";
    keep();
  });
  const near = document.createElement("div");
  near.className = "near";
  near.append(undo, modes.tie);
  const far = document.createElement("div");
  far.className = "far";
  far.append(modes["not finished"], modes.disqualified);
  const told = document.createElement("p");
  told.className = "told";
  told.setAttribute("role", "status");
  form.querySelector(".how").replaceWith(told);
  form.querySelector(".order-rows").before(pad, near, far);
  form.querySelector(".order-rows").hidden = true;

  const select = (row) => row.querySelector("select");
  const placed = () => rows.filter((row) => /^\d/.test(select(row).value));
  const place = (row) => parseInt(select(row).value, 10);

  function turn(word) {
    mode = mode === word ? "" : word;
    show();
  }

  function tap(row) {
    if (select(row).value) {
      told.textContent = `${row.dataset.boat} is in already: ${select(row).value}. UNDO takes the last tap back.`;
      return;
    }
    const step = [[row, ""]];
    const before = placed();
    if (mode === "tie" && before.length) {
      const last = Math.max(...before.map(place));
      for (const other of before.filter((each) => place(each) === last)) {
        step.push([other, select(other).value]);
        select(other).value = `${last}=`;
      }
      select(row).value = `${last}=`;
    } else if (mode && mode !== "tie") {
      select(row).value = mode;
    } else {
      select(row).value = String(before.length + 1);
    }
    steps.push(step);
    mode = "";
    keep();
  }

  function keep() {
    form.dispatchEvent(new Event("input", { bubbles: true }));  // the queue keeps what is tapped; `show` hears it too
  }

  function show() {
    rows.forEach((row, n) => {
      const value = select(row).value;
      tiles[n].querySelector(".said-word").textContent = value;
      tiles[n].classList.toggle("in", value !== "");
    });
    for (const [word, made] of Object.entries(modes)) made.setAttribute("aria-pressed", String(mode === word));
    const left = rows.filter((row) => !select(row).value).length;
    if (mode === "tie") told.textContent = "Tap the boat that tied with the last one.";
    else if (mode) told.textContent = `Tap the boat that is ${mode}.`;
    else told.textContent = left ? `Tap them as they come in: ${left} to come.` : "All are in. Send it.";
    form.querySelector(".why-line").hidden = !rows.some((row) => select(row).value === "disqualified");
    undo.disabled = steps.length === 0;
    modes.tie.disabled = placed().length === 0;
  }
  form.addEventListener("input", show);
  show();
}

// Kept in the phone: on to the next heat, whether there is a line or not.
document.addEventListener("queue:kept", (event) => {
  const box = event.target.closest("details.heat");
  if (!box) return;
  box.open = false;
  box.classList.add("kept");
  box.querySelector("small").textContent = "kept in this phone; it goes by itself";
  const next = box.nextElementSibling?.closest("details.heat");
  if (next) next.open = true;
});

for (const form of document.querySelectorAll("form.finish")) finishPad(form);
