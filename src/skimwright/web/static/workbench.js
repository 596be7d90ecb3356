// Little things the pages do by themselves.  Everything works without it, only less quickly.
"use strict";

// A button that was pressed is not pressed twice.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.dataset.sent === "yes") {
    event.preventDefault();
    return;
  }
  if (form.hasAttribute("data-queue")) return;  // queue.js minds those
  if (form.method === "post" && !form.hasAttribute("hx-post")) {
    form.dataset.sent = "yes";
    setTimeout(() => { form.dataset.sent = ""; }, 4000);
  }
});
