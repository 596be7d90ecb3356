// HOLD without a line: the phone says so at once, in words a person can act on, and goes on trying.
"use strict";

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (form.getAttribute("action") !== "/hold" || !event.submitter) return;
  event.preventDefault();
  const fields = new URLSearchParams(new FormData(form, event.submitter));
  const buttons = form.querySelectorAll("button");
  const say = (sentence) => {
    const bar = document.querySelector(".hold-bar");
    const said = bar.querySelector(".no-line") || bar.insertBefore(document.createElement("p"), bar.firstChild);
    said.className = "no-line";
    said.setAttribute("role", "alert");
    said.textContent = sentence;
  };
  for (const button of buttons) button.disabled = true;
  for (;;) {
    try {
      const answer = await fetch("/hold", { method: "POST", body: fields, redirect: "manual", signal: AbortSignal.timeout(4000) });
      if (answer.type === "opaqueredirect") return void location.assign(fields.get("back") || "/hold");
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      say(page.querySelector(".notice")?.textContent.trim() || "Not taken. Whistle, and raise the flag.");
      for (const button of buttons) button.disabled = false;
      return;
    } catch {
      say("NOT SENT: no line. Whistle, and raise the flag. This phone goes on trying.");
      await new Promise((done) => setTimeout(done, 1500));
    }
  }
});
