// A queue for wet places: what was sent while there is no line waits in this phone, and goes when the line is back.
//
// Put data-queue on a form with method="post", with what it sends in words: data-queue="run of boat 07".  Then
//   - a tap on its button never loses anything: the entry gets a key of its own and waits in the phone's storage
//     until the house has answered; entries go one by one, in order; the house counts a key once;
//   - the form gets the event "queue:kept" (detail: the entry) when it is kept, and the document "queue:sent" or
//     "queue:refused" when the house has answered; the page goes on as the house says once nothing waits;
//   - what is typed and not yet sent is kept too, and put back when the page is opened again;
//   - the house gets the fields key and waited_s (how long it waited, for the phone's clock may be wrong).
// It answers {key, said, to}, or {key, wrong} with a status of 400 or more; anything else is "no line".
// Without script the form is sent as any other.  What cannot be done on plain http: the browser opens no page while
// there is no line, so a page that was closed or opened anew comes back with the line; what waited is still there.
"use strict";

(() => {
  const KEPT = "queue.", REFUSED = "refused.", DRAFT = "draft.", AGAIN = 4000, PATIENCE = 8000, STALE = 6 * 3600e3;
  const forms = () => document.querySelectorAll("form[data-queue]");
  let store;
  try {
    store = window.localStorage;
    store.setItem("queue-works", "1");
  } catch {
    return;  // no storage: the forms are sent as any other
  }

  const all = (kind) => Object.keys(store).filter((name) => name.startsWith(kind)).sort();
  const read = (name) => JSON.parse(store.getItem(name));
  const newKey = () => [...crypto.getRandomValues(new Uint8Array(12))].map((b) => b.toString(16).padStart(2, "0")).join("");

  function keep(kind, entry) {
    const turn = Number(store.getItem("queue-turn") || 0) + 1;
    store.setItem("queue-turn", String(turn));
    store.setItem(`${kind}${String(turn).padStart(9, "0")}.${entry.key}`, JSON.stringify(entry));
  }

  // what is typed

  const draftName = (form) => [DRAFT + form.getAttribute("action"), form.dataset.draft || form.dataset.queue, form.dataset.heat || ""].join(".");

  function saveDraft(form) {
    const fields = [...new FormData(form)].filter(([name]) => !["token", "key"].includes(name));
    store.setItem(draftName(form), JSON.stringify({ at: Date.now(), fields }));
  }

  function putBack(form, fields) {
    for (const [name, value] of fields) {
      const found = form.elements[name];
      if (!found || found.type === "hidden") continue;
      if (found instanceof RadioNodeList || found.type === "checkbox" || found.type === "radio") {
        for (const one of found instanceof RadioNodeList ? found : [found]) one.checked = one.value === value;
      } else found.value = value;
    }
    form.dispatchEvent(new Event("input", { bubbles: true }));
  }

  for (const name of all(DRAFT)) if (Date.now() - read(name).at > STALE) store.removeItem(name);
  for (const form of forms()) {
    const draft = store.getItem(draftName(form));
    if (draft && !document.querySelector(".notice.stop[role=alert]")) putBack(form, JSON.parse(draft).fields);
  }
  document.addEventListener("input", (event) => {
    const form = event.target.closest?.("form[data-queue]");
    if (form) saveDraft(form);
  });

  // what is sent

  let mine = "";  // the key of the last entry of this page
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.hasAttribute("data-queue") || event.defaultPrevented) return;
    event.preventDefault();
    const fields = [...new FormData(form, event.submitter)].filter(([name]) => !["token", "key"].includes(name));
    const said = JSON.stringify(fields);
    if (form.dataset.last === said && Date.now() - Number(form.dataset.at) < AGAIN) return;  // a double tap
    form.dataset.last = said;
    form.dataset.at = String(Date.now());
    const entry = {
      key: newKey(), action: form.getAttribute("action"), fields, words: form.dataset.queue || "entry",
      at: Date.now(), draft: draftName(form),
    };
    mine = entry.key;
    keep(KEPT, entry);
    store.removeItem(draftName(form));
    form.dispatchEvent(new CustomEvent("queue:kept", { bubbles: true, detail: entry }));
    send();
  });

  let busy = false;
  async function send() {
    if (busy) return;
    busy = true;
    try {
      for (let name = all(KEPT)[0]; name; name = all(KEPT)[0]) {
        show();
        const entry = read(name);
        const answer = await sendOne(entry);
        if (!answer) return;
        store.removeItem(name);
        if (answer.wrong) keep(REFUSED, { ...entry, wrong: answer.wrong });
        document.dispatchEvent(new CustomEvent(answer.wrong ? "queue:refused" : "queue:sent", { detail: { entry, answer } }));
        if (!answer.wrong && entry.key === mine && !all(KEPT).length) window.location.assign(answer.to);
      }
    } finally {
      busy = false;
      show();
    }
  }

  async function sendOne(entry) {
    const body = new URLSearchParams(entry.fields);
    body.set("key", entry.key);
    body.set("waited_s", String(Math.max(0, Math.round((Date.now() - entry.at) / 1000))));
    try {
      const answer = await fetch(entry.action, {
        method: "POST", body, cache: "no-store", signal: AbortSignal.timeout(PATIENCE),
        headers: { "X-Queue": "1", "X-Form-Token": JSON.parse(document.body.getAttribute("hx-headers"))["X-Form-Token"] },
      });
      if (answer.status >= 500 || answer.status === 429 || answer.status === 408) return null;
      const said = await answer.json();
      if (typeof said.to !== "string" && typeof said.wrong !== "string") return null;
      return said;
    } catch {
      return null;  // no line, or something between that is not the house
    }
  }

  // what is shown

  const bar = document.createElement("section");
  bar.className = "queue";
  bar.setAttribute("aria-label", "Waiting to be sent");
  bar.hidden = true;
  document.getElementById("main")?.prepend(bar);

  const line = (tag, text, role) => {
    const made = document.createElement(tag);
    made.textContent = text;
    if (role) made.setAttribute("role", role);
    return made;
  };

  function button(text, act) {
    const made = line("button", text);
    made.type = "button";
    made.addEventListener("click", act);
    return made;
  }

  function show() {
    const waiting = all(KEPT).length, refused = all(REFUSED);
    bar.hidden = !waiting && !refused.length;
    const rows = [];
    if (waiting) rows.push(line("p", `${waiting} waiting to be sent. Keep this page open; they go by themselves when the line is back.`, "status"));
    for (const name of refused) {
      const entry = read(name), row = document.createElement("div");
      row.className = "refused";
      row.append(line("p", `Not taken, ${entry.words}: ${entry.wrong}`, "alert"));
      const form = [...forms()].find((one) => draftName(one) === entry.draft);
      if (form) row.append(button("Back into the form", () => { store.removeItem(name); putBack(form, entry.fields); show(); }));
      row.append(button("Throw it away", () => { store.removeItem(name); show(); }));
      rows.push(row);
    }
    bar.replaceChildren(...rows);
  }

  show();
  send();
  window.addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });
  setInterval(() => { if (all(KEPT).length) send(); }, 3000);
})();
