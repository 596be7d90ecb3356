// Keeps the spectators' page new; when the line drops, what was last seen stays, and says so.
"use strict";

const RARELY = 30000;  // looks by itself so often, in case no news comes [ms]

function show(text) {
  const page = new DOMParser().parseFromString(text, "text/html");
  document.getElementById("main").replaceWith(page.getElementById("main"));
}

async function look() {
  try {
    const answer = await fetch("/see", { cache: "no-store" });
    if (!answer.ok) throw new Error(String(answer.status));
    show(await answer.text());
  } catch {
    const line = document.getElementById("line"), made = document.getElementById("made").textContent;
    line.textContent = `No line. This is how it stood at ${made}; it goes on by itself when the line is back.`;
    line.hidden = false;
  }
}

const news = new EventSource("/see/live");
news.addEventListener("page", (event) => show(event.data));
news.addEventListener("error", look);
setInterval(look, RARELY * (1 + Math.random()));
