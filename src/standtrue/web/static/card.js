// Writes a card: a blank that was filled is sent at once, and the page's parts are taken from the answer. Without this
// script the forms do the same.
"use strict";

const AGAIN_MS = 1500;

async function send(form, fields) {
  const body = new URLSearchParams(fields);
  for (;;) {
    try {
      const answer = await fetch(form.getAttribute("action"), { method: "POST", body, headers: { Accept: "text/html" } });
      if (answer.status >= 502) throw new Error("away");
      take(new DOMParser().parseFromString(await answer.text(), "text/html"));
      return;
    } catch {
      await new Promise((done) => setTimeout(done, AGAIN_MS)); // what was typed stays in its blank until then
    }
  }
}

function take(fresh) {
  const id = document.activeElement?.id;
  const typed = document.activeElement?.value;
  for (const part of fresh.querySelectorAll("[data-live]")) {
    document.getElementById(part.id)?.replaceWith(document.importNode(part, true));
  }
  const again = id ? document.getElementById(id) : null;
  if (again === null) return;
  if (again.matches("input.blank") && typed !== undefined) again.value = typed;
  again.focus({ preventScroll: true });
}

const queue = [];
let sending = false;

async function next() {
  if (sending) return;
  sending = true;
  while (queue.length > 0) await send(...queue.shift());
  sending = false;
}

document.addEventListener("change", (event) => {
  const form = event.target.closest("form.fill");
  if (form === null) return;
  queue.push([form, [["do", "fill"], [event.target.name, event.target.value]]]);
  next();
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method === "get" || form.matches("[data-whole]") || !form.closest("[data-live]")) return;
  event.preventDefault();
  if (form.matches(".fill")) return; // what was typed is sent by its change
  queue.push([form, [...new FormData(form, event.submitter)]]);
  next();
});
