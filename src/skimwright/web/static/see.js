// Keeps the spectators' page new; when the line drops, what was last seen stays, and says so.
"use strict";

const RARELY = 20000, SPREAD = 800;  // ms; phones do not all ask in the same instant
let waiting = 0;

function made() {
  return document.getElementById("made").textContent;
}

async function look() {
  waiting = 0;
  try {
    const answer = await fetch("/see", { cache: "no-store" });
    if (!answer.ok) throw new Error(String(answer.status));
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    document.getElementById("main").replaceWith(page.getElementById("main"));
  } catch {
    const line = document.getElementById("line");
    line.textContent = `No line. This is how it stood at ${made()}; it goes on by itself when the line is back.`;
    line.hidden = false;
  }
}

function soon() {
  if (!waiting) waiting = setTimeout(look, Math.random() * SPREAD);
}

const news = new EventSource("/live");
for (const topic of ["race", "holds", "season"]) news.addEventListener(topic, soon);
news.addEventListener("error", soon);
setInterval(soon, RARELY);
