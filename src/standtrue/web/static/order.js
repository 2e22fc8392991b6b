// The page of an order: reads itself anew when its plan has come further, sends forms without losing what was typed,
// opens the chapter of the step that the picture shows. Without it, the page's forms and links do the same.
"use strict";

const page = document.querySelector("[data-order]");
const EVERY_MS = 1000;
const AGAIN_MS = 2000;

// The parts that say what is planned, taken from the page as it is now; what is typed elsewhere stays.
async function renew(address) {
  const answer = await fetch(address, { headers: { Accept: "text/html" } });
  if (!answer.ok && answer.status !== 422 && answer.status !== 412 && answer.status !== 409) return;
  take(new DOMParser().parseFromString(await answer.text(), "text/html"));
}

function take(fresh) {
  for (const now of fresh.querySelectorAll("[data-live]")) {
    const was = document.getElementById(now.id);
    if (was === null) continue;
    const held = was.contains(document.activeElement) && document.activeElement.matches("input, select, textarea");
    if (held || typed(was)) keepTyped(was, now);
    const id = was.contains(document.activeElement) ? document.activeElement.id : "";
    was.replaceWith(document.importNode(now, true));
    if (id !== "") document.getElementById(id)?.focus();
  }
  const next = fresh.querySelector("[data-order]");
  if (next !== null) page.dataset.token = next.dataset.token;
  for (const form of document.querySelectorAll("input[name=seen]")) {
    form.value = fresh.querySelector("input[name=seen]")?.value ?? form.value;
  }
  bind(document);
  const plan = document.querySelector("[data-plan]");
  if (plan !== null) {
    follow(plan);
    plan.dispatchEvent(new CustomEvent("plan", { bubbles: true }));
  }
}

function fields(part) {
  return [...part.querySelectorAll("input:not([type=hidden]), select, textarea")].filter((f) => f.id !== "");
}

function typed(part) {
  return fields(part).some((field) => field.value !== (field.defaultValue ?? field.value));
}

// What was typed in a part goes into the one that takes its place, and what was open stays open.
function keepTyped(was, now) {
  for (const field of fields(was)) {
    const same = now.querySelector(`#${CSS.escape(field.id)}`);
    if (same === null || field.value === (field.defaultValue ?? "")) continue;
    if (same.matches("select")) same.value = field.value;
    else same.setAttribute("value", field.value);
    same.closest("details")?.setAttribute("open", "");
  }
}

function say(text) {
  let line = page.querySelector("[data-unsent-line]");
  if (line === null) {
    line = Object.assign(document.createElement("p"), { className: "notice off" });
    line.dataset.unsentLine = "";
    line.setAttribute("role", "status");
    page.prepend(line);
  }
  line.textContent = text;
  line.hidden = text === "";
}

const sleep = (ms) => new Promise((done) => setTimeout(done, ms));

// Sent until it arrives: the same key, so that it is done once.
async function send(form, button) {
  const body = new URLSearchParams(new FormData(form, button));
  if (form.dataset.sending !== undefined) return;
  form.dataset.sending = "";
  for (;;) {
    try {
      const answer = await fetch(form.action, { method: "POST", body });
      say("");
      delete form.dataset.sending;
      if (answer.redirected) {
        form.reset();
        for (const field of fields(form)) field.value = field.defaultValue ?? field.value;
        history.replaceState(null, "", new URL(answer.url).pathname);
        page.dataset.order = `${new URL(answer.url).pathname}/state`;
      }
      take(new DOMParser().parseFromString(await answer.text(), "text/html"));
      watch();
      document.querySelector("[data-told]")?.scrollIntoView({ block: "nearest" });
      return;
    } catch (gone) {
      if (!(gone instanceof TypeError)) throw gone;
      say(page.dataset.unsent);
      await sleep(AGAIN_MS);
    }
  }
}

function bind(part) {
  for (const form of part.querySelectorAll("form[data-kept]")) {
    if (form.dataset.bound !== undefined) continue;
    form.dataset.bound = "";
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      send(form, event.submitter);
    });
  }
}

// The chapter of the step in hand is open.
function follow(plan) {
  plan.addEventListener("step", (event) => {
    const chapter = event.detail.closest("details");
    if (chapter !== null) chapter.open = true;
    plan.querySelectorAll(".thread > li[aria-current]").forEach((line) => line.removeAttribute("aria-current"));
    event.detail.closest("li").setAttribute("aria-current", "step");
  });
}

let watching = false;

async function watch() {
  if (watching) return;
  watching = true;
  while (/^(computing|drawing)|\+/.test(page.dataset.token)) {
    await sleep(EVERY_MS);
    try {
      const answer = await fetch(page.dataset.order);
      if (!answer.ok) continue;
      say("");
      const { token, progress } = await answer.json();
      if (token !== page.dataset.token) await renew(location.href);
      else if (progress !== null) show(progress);
    } catch (gone) {
      if (!(gone instanceof TypeError)) throw gone;
      say(page.dataset.unsent);
    }
  }
  watching = false;
}

function show(progress) {
  const working = document.querySelector("[data-working]");
  if (working === null) return;
  working.querySelector("[data-said]").textContent = progress.said;
  working.querySelector("[data-of]").textContent = progress.of;
  working.querySelector("[data-rod] i").style.width = `${progress.share}%`;
}

bind(document);
document.querySelectorAll("[data-plan]").forEach(follow);
addEventListener("beforeprint", () => document.querySelectorAll("details").forEach((d) => { d.open = true; }));
watch();
