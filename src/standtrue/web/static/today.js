// The page of today, kept as it is now; without a network it says as of when. A field finds rows as one types.
"use strict";

const EVERY_MS = 30000;
let now = document.querySelector("[data-today]");
const time = document.querySelector("[data-time]").textContent;
let last = time;

async function renew() {
  if (document.hidden || now.contains(document.activeElement)) return;
  try {
    const answer = await fetch(location.href);
    if (!answer.ok) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("[data-today]");
    if (fresh === null) return;
    now.replaceWith(fresh);
    now = fresh;
    last = now.querySelector("[data-time]").textContent;
    bind();
  } catch (gone) {
    if (!(gone instanceof TypeError)) throw gone;
    now.querySelector("[data-time]").textContent = now.dataset.asOf.replace("{time}", last);
  }
}

function bind() {
  const field = now.querySelector("#find");
  if (field === null) return;
  field.addEventListener("input", () => {
    const words = field.value.toLowerCase().split(/\s+/).filter((word) => word !== "");
    now.querySelectorAll("tr[data-find]").forEach((row) => {
      row.hidden = !words.every((word) => row.dataset.find.toLowerCase().includes(word));
    });
  });
}

bind();
setInterval(renew, EVERY_MS);
