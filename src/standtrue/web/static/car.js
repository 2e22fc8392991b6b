// One step at the car. Without this module the page works as plain forms; with it nothing waits for the network.

const top_ = document.querySelector("[data-car]");
const { address, step, who } = top_.dataset;
const words = JSON.parse(top_.dataset.net);
const queue = await import(top_.dataset.queue);
const net = document.getElementById("net");
const sections = new Map(Array.from(document.querySelectorAll("[data-screen]"), (one) => [one.dataset.screen, one]));
const LOCAL = ["conditions", "set", "read"];
const signed = top_.dataset.signed;
let token = top_.dataset.token, since = null, leaving = false;

// What somebody else typed on this device stays here until they are signed in again.
function mine(one) { return !signed || !one.by || one.by === signed; }

/* ---- light and dark, whatever the system says ---- */

function paper(chosen) {
  if (chosen) document.documentElement.dataset.paper = chosen; else delete document.documentElement.dataset.paper;
  for (const one of document.querySelectorAll("[data-paper]")) if (one !== document.documentElement) one.setAttribute("aria-pressed", one.dataset.paper === chosen);
}
paper(localStorage.getItem("paper") ?? "");
for (const one of document.querySelectorAll("button[data-paper]")) one.addEventListener("click", () => { localStorage.setItem("paper", one.dataset.paper); paper(one.dataset.paper); });

/* ---- which screen is shown ---- */

let shown = top_.dataset.screen;

function show(key) {
  const section = sections.get(key);
  if (!section) return false;
  for (const one of sections.values()) one.hidden = one !== section;
  shown = key;
  pads.get(key)?.paint();
  if (key === "set") found(section);
  scrollTo(0, 0);
  section.querySelector("h1")?.focus({ preventScroll: true });
  return true;
}

// What was just found of the conditions, with what the card asks for.
function found(section) {
  const names = section.querySelectorAll(".facts dt"), values = section.querySelectorAll(".facts dd");
  for (const [i, one] of (pads.get("conditions")?.items ?? []).entries()) {
    if (one.kept === null || !values[i]) continue;
    names[i].textContent = `${one.short}. ${one.limit}`;
    values[i].textContent = one.kept;
  }
}

/* ---- keeping and sending ---- */

function entryOf(fields) {
  return { address, key: queue.newKey(), at: Date.now(), by: who, step, ...fields };
}

async function keep(fields) {
  await queue.put(entryOf(fields));
  send();
}

async function send() {
  const told = await queue.flush(address, mine);
  if (told.how === "off") since ??= new Date();
  if (told.how === "sent") { since = null; token = told.token; }
  if (told.how === "nothing" && since && navigator.onLine) since = null;
  await strip();
  return told.how;
}

async function strip() {
  const every = await queue.kept(address), waiting = every.filter(mine), others = every.filter((one) => !mine(one));
  const refused = waiting.filter((one) => one.refused).length, count = waiting.length - refused, parts = [];
  if (since) parts.push(words.off.replace("{time}", since.toLocaleTimeString(document.documentElement.lang, { hour: "numeric", minute: "2-digit" })));
  if (since && count) parts.push((count === 1 ? words.one : words.many).replace("{n}", count));
  if (refused) parts.push(words.refused.replace("{n}", refused));
  for (const who of new Set(others.map((one) => one.by))) parts.push(words.others.replace("{n}", others.filter((one) => one.by === who).length).replaceAll("{who}", who));
  net.textContent = parts.join("; ") || who;
  net.classList.toggle("off", parts.length > 0);
}

// What comes next is the server's to say: everything kept goes there first.
async function leave(judge = false) {
  if (leaving) return;
  leaving = true;
  try {
    const how = await send();
    if (how === "off" || how === "refused") { show("wait"); return; }
    if (judge) {
      try {
        await fetch(`${address}/judge`, { method: "POST" });
      } catch {
        since ??= new Date();
        await strip();
        show("wait");
        return;
      }
    }
    location.assign(address);
  } finally {
    leaving = false;
  }
}

document.addEventListener("submit", async (event) => {
  const form = event.target.closest("form[data-entry]");
  if (!form) return;
  event.preventDefault();
  const fields = Object.fromEntries(new FormData(form));
  const { key: _, value, ...entry } = fields;
  if (value) entry.typed = value;
  await queue.put(entryOf(entry));
  if (form.dataset.to && show(form.dataset.to)) { send(); return; }
  await leave();
});

document.addEventListener("click", (event) => {
  const link = event.target.closest("a");
  if (!link || event.defaultPrevented) return;
  if (link.closest(".top") && sections.has("stop")) { event.preventDefault(); show("stop"); return; }
  if (link.dataset.show === address && shown === "stop") { event.preventDefault(); show(top_.dataset.screen); return; }
  if (link.dataset.show && show(link.dataset.show)) event.preventDefault();
  else if (link.closest("[data-screen=wait]")) { event.preventDefault(); leave(unread() === 0 && stage() === "read"); }
});

/* ---- the number pad ---- */

class Pad {
  constructor(section) {
    this.section = section;
    this.form = section.querySelector("form");
    const told = JSON.parse(section.querySelector("script.items").textContent);
    Object.assign(this, { items: told.items, words: told.words, us: told.us, typed: "", side: null, sure: false });
    this.cur = Math.max(0, this.items.findIndex((one) => one.kept === null));
    this.at = (name) => this.form.querySelector(`[${name}]`);
    this.figure = this.at("data-figure").querySelector("input");
    this.figure.readOnly = true;
    for (const one of this.form.querySelectorAll("[data-key]")) one.addEventListener("click", () => this.press(one.dataset.key));
    this.form.addEventListener("submit", (event) => { event.preventDefault(); this.keep(event.submitter === this.at("data-sure")); });
    this.at("data-meant").addEventListener("click", () => { this.typed = this.meant; this.keep(true); });
    this.at("data-step-back").addEventListener("click", (event) => { if (this.back()) event.preventDefault(); });
    const list = section.querySelector(".readings");
    list.addEventListener("click", (event) => {
      const row = event.target.closest("button[data-at]");
      if (row) this.go(Number(row.dataset.at));
    });
  }

  get item() { return this.items[this.cur]; }
  get open() { return this.items.filter((one) => one.kept === null); }

  shown(typed) { return this.item.shown === "°" ? `${typed}°` : `${typed} ${this.item.shown}`.trim(); }

  value(typed) {
    const found = /^(\d*\.?\d*)(?:(?:^| )(\d+)\/(\d+))?$/.exec(typed);
    if (!found || !/\d/.test(typed) || (found[3] !== undefined && Number(found[3]) === 0)) return null;
    return (Number(found[1] || 0) + (found[2] === undefined ? 0 : found[2] / found[3])) * (this.item.factor ?? 1);
  }

  press(key) {
    if (this.item.kind !== "figure") return;
    if (key === "back") this.typed = this.typed.slice(0, -1);
    else if (key === " " || key === "/") { if (this.us && this.typed && !this.typed.includes(key)) this.typed += key; }
    else if (this.typed.length < 12 && (key !== "." || !this.typed.includes("."))) this.typed += key;
    this.ask(null);
    this.paint();
  }

  // What was meant by a figure that cannot be: the point elsewhere, a digit less, doubled or exchanged.
  proposal() {
    const { planned, far } = this.item, value = this.value(this.typed);
    if (!far || value === null || Math.abs(value - planned) <= far) return null;
    const digits = this.typed.replace(".", ""), tried = [];
    if (/^\d+$/.test(digits)) {
      for (let i = 0; i < digits.length; i++) {
        if (digits.length > 1) tried.push(digits.slice(0, i) + digits.slice(i + 1));
        tried.push(digits.slice(0, i + 1) + digits.slice(i));
        if (i + 1 < digits.length) tried.push(digits.slice(0, i) + digits[i + 1] + digits[i] + digits.slice(i + 2));
      }
      tried.push(`${digits}0`, digits);
      for (let i = 1; i < digits.length; i++) tried.push(`${digits.slice(0, i)}.${digits.slice(i)}`);
    }
    const near = Math.max(0.05 * planned, 0.2 * far);
    let best = "", off = near;
    for (const one of tried) {
      const away = Math.abs(this.value(one) - planned);
      if (away < off) { best = one; off = away; }
    }
    return best;
  }

  ask(meant) {
    this.meant = meant;
    const box = this.at("data-asked");
    box.hidden = meant === null;
    if (meant === null) return;
    const fill = (text) => text.replace("{value}", this.shown(this.typed)).replace("{meant}", this.shown(meant));
    this.at("data-asked-words").textContent = fill(meant ? this.words.asked : this.words.doubt);
    this.at("data-meant").hidden = !meant;
    this.at("data-meant").textContent = this.shown(meant);
    this.at("data-sure").textContent = fill(this.words.as_typed);
  }

  get ready() {
    const { item } = this;
    if (item.kind === "so") return this.side !== null;
    const value = this.value(this.typed);
    return value !== null && (!item.sides.length || this.side !== null || value === 0);
  }

  async keep(sure = false) {
    const { item } = this;
    if (!this.ready) { this.paint(); return; }
    const meant = sure || item.kind === "so" ? null : this.proposal();
    if (meant !== null) { this.ask(meant); return; }
    this.ask(null);
    const fields = { what: item.what, name: item.name, part: item.part ?? "" };
    if (item.kind === "so") {
      fields.typed = item.sides[this.side][1];
      item.kept = fields.typed ? this.words.so : this.words.not_so;
    } else {
      fields.typed = `${this.typed} ${item.unit}`.trim();
      fields.sign = item.sides.length && this.side !== null ? item.sides[this.side][1] : item.sign ?? 1;
      item.kept = this.shown(this.typed);
    }
    // The next question is there at once: a digit typed before this one is written down belongs to it already.
    const written = keep(fields);
    const next = this.items.findIndex((one, i) => i > this.cur && one.kept === null);
    const first = this.items.findIndex((one) => one.kept === null);
    const more = next >= 0 || first >= 0;
    if (more) this.go(next >= 0 ? next : first);
    const shown = more || (this.section.dataset.then !== "judge" && show(this.section.dataset.then));
    await written;
    if (!shown) await leave(this.section.dataset.then === "judge");
  }

  go(number) {
    Object.assign(this, { cur: number, typed: "", side: null });
    this.ask(null);
    this.paint();
    this.section.querySelector("h1").focus({ preventScroll: true });
  }

  back() {
    if (this.cur > 0) { this.go(this.cur - 1); return true; }
    const before = LOCAL[LOCAL.indexOf(this.section.dataset.screen) - 1];
    return before ? show(before) : false;
  }

  paint() {
    const { item } = this, plain = item.kind === "figure";
    this.at("data-over").textContent = item.over;
    this.at("data-question").textContent = item.question;
    this.at("data-note").textContent = item.again ?? "";
    this.at("data-figure").hidden = this.at("data-keys").hidden = !plain;
    this.figure.value = this.typed;
    this.figure.setAttribute("aria-label", item.question);
    this.at("data-unit").textContent = item.shown;
    this.sides();
    const keep = this.at("data-keep"), value = this.value(this.typed);
    const missing = plain ? value === null : this.side === null;
    keep.textContent = missing ? this.words.keep_bare : !this.ready ? this.words.say_side : this.words.keep.replace("{value}", plain ? this.shown(this.typed) : item.sides[this.side][0]);
    keep.setAttribute("aria-disabled", !this.ready);
    this.picture();
  }

  sides() {
    const box = this.at("data-sides"), { item } = this;
    box.hidden = !item.sides.length;
    box.replaceChildren(...item.sides.map(([word], i) => {
      const button = document.createElement("button");
      Object.assign(button, { type: "button", className: "btn", textContent: word });
      button.setAttribute("aria-pressed", this.side === i);
      button.addEventListener("click", () => { this.side = i; this.paint(); box.children[i].focus({ preventScroll: true }); });
      return button;
    }));
  }

  picture() {
    const { item } = this;
    for (const one of this.section.querySelectorAll("figure")) one.hidden = Number(one.dataset.g) !== item.group;
    for (const one of this.section.querySelectorAll("[data-r]")) one.classList.toggle("at", Number(one.dataset.r) === item.number);
    const own = this.items.map((one, i) => [one, i]).filter(([one]) => one.group === item.group);
    this.section.querySelector(".readings").replaceChildren(...own.map(([one, i]) => {
      const row = document.createElement("li"), button = document.createElement("button");
      Object.assign(button, { type: "button" });
      button.dataset.at = i;
      for (const [tag, name, text] of [["b", "", one.number], ["span", "nm", one.kept !== null && one.limit ? `${one.short}. ${one.limit}` : one.short], ["b", "", i === this.cur ? this.words.now : one.kept ?? this.words.to_read]]) {
        const part = document.createElement(tag);
        part.className = name;
        part.textContent = text;
        button.append(part);
      }
      if (i === this.cur) button.setAttribute("aria-current", "step");
      row.append(button);
      return row;
    }));
  }
}

const pads = new Map(Array.from(document.querySelectorAll("form[data-pad]"), (form) => {
  const section = form.closest("[data-screen]");
  return [section.dataset.screen, new Pad(section)];
}));

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const pad = pads.get(shown);
  if (!pad || event.target.matches("input:not([readonly])")) return;
  if (/^[0-9.]$/.test(event.key)) pad.press(event.key);
  else if (pad.us && event.key === "/") pad.press("/");
  else if (event.key === "Backspace") pad.press("back");
  else if (event.key === "Enter" && !event.target.matches("button, a")) { event.preventDefault(); pad.keep(); }
});

for (const form of document.querySelectorAll("form[data-pin]")) {
  const pin = form.querySelector("[name=pin]");
  for (const one of form.querySelectorAll("[data-key]")) one.addEventListener("click", () => {
    pin.value = one.dataset.key === "back" ? pin.value.slice(0, -1) : pin.value + one.dataset.key;
  });
}

/* ---- as it was left ---- */

function stage() { return LOCAL.filter((key) => sections.has(key)).findLast((key) => !pads.has(key) || pads.get(key).open.length < pads.get(key).items.length) ?? ""; }
function unread() { return pads.get("read")?.open.length ?? -1; }

async function restore() {
  const waiting = (await queue.kept(address)).filter((one) => mine(one) && one.step === step && !one.refused);
  let stands = false, leg = "", away = false;
  for (const one of waiting) {
    const pad = pads.get(one.what === "condition" ? "conditions" : "read");
    const item = pad?.items.find((each) => each.name === one.name);
    if (one.what === "reading" || one.what === "condition") {
      if (item) item.kept = one.typed === "yes" ? pad.words.so : one.typed.replace(" deg", "°") || pad.words.not_so;
    } else if (one.what === "stands") stands = true;
    else if (one.what === "leg") leg = `leg-${Number(one.typed) + 1}`;
    else away = true;
  }
  for (const pad of pads.values()) pad.cur = Math.max(0, pad.items.findIndex((one) => one.kept === null));
  const how = await send();
  if (away && how === "sent") { location.replace(address); return; }
  if (away) { show("wait"); return; }
  if (leg) show(leg);
  else if (LOCAL.includes(shown) && waiting.length) {
    const open = (key) => pads.get(key)?.open.length;
    if (open("conditions") > 0) show("conditions");
    else if (!stands && sections.has("set") && top_.dataset.screen !== "read") show("set");
    else if (open("read") > 0) show("read");
    else if (sections.has("read")) leave(true);
  }
}

for (const pad of pads.values()) pad.paint();
await restore();
addEventListener("online", () => send());
addEventListener("offline", () => { since ??= new Date(); strip(); });

async function look() {
  if (document.hidden) return;
  const pending = (await queue.kept(address)).some((one) => mine(one) && !one.refused);
  if (pending) { await send(); return; }
  if (!navigator.onLine) return;
  try {
    const found = (await (await fetch(`${address}/state`)).json()).token;
    if (since) { since = null; await strip(); }
    const typing = pads.get(shown)?.typed || document.activeElement?.matches("input:not([readonly])");
    if (found !== token && !typing && shown !== "stop") location.reload();
  } catch {
    since ??= new Date();
    await strip();
  }
}
setInterval(look, Number(top_.dataset.every));

if ("serviceWorker" in navigator && isSecureContext) {
  await navigator.serviceWorker.register(top_.dataset.worker);
  const ready = await navigator.serviceWorker.ready;
  const files = Array.from(document.querySelectorAll("link[rel=stylesheet], script[src]"), (one) => one.href || one.src);
  ready.active.postMessage({ keep: [...files, top_.dataset.queue, ...(top_.dataset.asked ? [] : [address])] });
}
document.documentElement.dataset.ready = "yes";
