// Draws a floor: what is held follows finger, mouse or arrow keys, and the answer follows it. Every edit is a form of the
// page, sent once it is done; without this script the forms do the same.
"use strict";

const PER_M = 100;
const AGAIN_MS = 1500;
const FINE = { metric: 0.01, us: 0.0254 };
const COARSE = 10;
const STRIP = 41;
const STRIP_M = 2;

let drag = null; // what is held just now: {group, right, up, turn, from}
let asking = false;
let wanted = null;
let view = null; // x, y, width, height of what is seen, in the drawing's units
let tape = null;

const figure = () => document.getElementById("plan");
const plan = () => figure()?.querySelector("svg.plan");
const fine = () => FINE[figure().dataset.units] ?? FINE.metric;

// ---- what the server says ------------------------------------------------------------------------------------------

function address(what, more) {
  const query = new URLSearchParams(figure().dataset.query);
  for (const [key, value] of Object.entries(more)) query.set(key, value);
  return `${figure().dataset.here}${what}?${query}`;
}

async function ask() {
  if (asking || wanted === null) return;
  const { where, name, right, up, turn } = wanted;
  wanted = null;
  asking = true;
  plan()?.classList.add("asking");
  try {
    const answer = await fetch(address("/try", { where, name, right, up, turn }));
    if (answer.ok) show(await answer.json());
  } catch {
    say(figure().dataset.gone);
  }
  asking = false;
  if (wanted === null) plan()?.classList.remove("asking");
  else ask();
}

function show(told) {
  const verdict = document.createElement("span");
  verdict.className = `v ${told.shape}`;
  verdict.textContent = told.verdict;
  document.getElementById("verdict").replaceChildren(verdict);
  const why = document.createElement("p");
  why.textContent = told.why;
  const note = document.querySelector("#why .note");
  document.getElementById("why").replaceChildren(why, ...(note === null ? [] : [note]));
  document.getElementById("region").setAttribute("d", told.region);
  document.getElementById("zones").replaceChildren(...told.zones.map(([kind, d]) => path(kind, d)));
  const car = document.getElementById("car");
  if (car !== null && told.car !== null) {
    car.setAttribute("transform", `translate(${told.car[0]} ${told.car[1]}) rotate(${told.car[2]})`);
    car.setAttribute("class", told.shape === "yes" ? "fits" : "misses");
  }
  const [from, to] = told.ends.length === 2 ? told.ends : [[-999, -999], [-999, -999]];
  const least = document.getElementById("least");
  least?.setAttribute("d", `M${from[0]} ${from[1]}L${to[0]} ${to[1]}`);
  least?.setAttribute("class", told.shape === "yes" ? "dim" : "clash");
  const bad = document.getElementById("bad");
  bad?.setAttribute("cx", to[0]);
  bad?.setAttribute("cy", to[1]);
  bad?.setAttribute("r", told.shape === "yes" ? 14 : 28);
  bad?.setAttribute("class", told.shape === "yes" ? "limit" : "clash");
}

function path(kind, d) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", "path");
  made.setAttribute("class", kind);
  made.setAttribute("d", d);
  return made;
}

function say(text) {
  const line = document.getElementById("drag");
  if (line !== null) line.textContent = text;
}

// ---- edits: a form sent, and the page's parts taken from the answer ---------------------------------------------------

async function send(url, body) {
  for (;;) {
    try {
      const answer = await fetch(url, { method: body ? "POST" : "GET", body, headers: { Accept: "text/html" } });
      if (answer.status >= 502) throw new Error("away");
      take(new DOMParser().parseFromString(await answer.text(), "text/html"), answer.url);
      return;
    } catch {
      say(figure()?.dataset.gone ?? "");
      await new Promise((done) => setTimeout(done, AGAIN_MS));
    }
  }
}

function take(fresh, url) {
  const focused = document.activeElement;
  const id = focused?.id;
  const held = focused?.closest?.(".hold")?.dataset;
  const open = document.querySelector("[data-menu][open]") !== null;
  for (const part of fresh.querySelectorAll("[data-live]")) {
    document.getElementById(part.id)?.replaceWith(document.importNode(part, true));
  }
  document.title = fresh.title;
  history.replaceState(null, "", url);
  drag = null;
  bind();
  if (open) document.querySelector("[data-menu]")?.setAttribute("open", "");
  if (held !== undefined) heldGroup()?.focus({ preventScroll: true });
  else if (id) document.getElementById(id)?.focus({ preventScroll: true });
}

const queue = [];
let sending = false;

async function edit(fields) {
  queue.push(fields);
  if (sending) return;
  sending = true;
  while (queue.length > 0) {
    const body = new URLSearchParams(queue.shift());
    await send(address("", {}), body);
  }
  sending = false;
}

function hold(where, name) {
  return send(address("", { where, name }), null);
}

// ---- holding ---------------------------------------------------------------------------------------------------------

function heldGroup() {
  const { where, name } = figure().dataset;
  return [...plan().querySelectorAll(".hold")].find((g) => g.dataset.where === where && g.dataset.name === name);
}

function lift(group) {
  drag = { group, right: 0, up: 0, turn: 0 };
  for (const other of plan().querySelectorAll(".hold.held")) other.classList.remove("held");
  group.classList.add("held");
  figure().dataset.where = group.dataset.where;
  figure().dataset.name = group.dataset.name;
}

function move(right, up) {
  drag.right = right;
  drag.up = up;
  drag.group.setAttribute("transform", `translate(${right * PER_M} ${-up * PER_M})`);
  if (drag.group.dataset.where !== "") {
    wanted = { where: drag.group.dataset.where, name: drag.group.dataset.name, right, up, turn: 0 };
    ask();
  }
}

function put() {
  const { group, right, up } = drag;
  const { where, name } = group.dataset;
  drag = null;
  wanted = null;
  strip([]);
  if (right === 0 && up === 0) return hold(where, name);
  return edit({ do: where === "" ? "corner" : "move", where, name_of: name, right, up });
}

function let_go() {
  drag.group.removeAttribute("transform");
  drag = null;
  wanted = null;
  strip([]);
  send(location.href, null);
}

// Where along the line of the drag it fits: asked once the direction is clear.
async function line(horizontal) {
  const own = drag;
  if (own === null || own.lined === horizontal || own.group.dataset.where === "") return;
  own.lined = horizontal;
  const { where, name } = own.group.dataset;
  const reach = horizontal ? { right: STRIP_M, up: 0 } : { right: 0, up: STRIP_M };
  const both = [-1, 1].map((way) =>
    fetch(address("/along", { where, name, right: way * reach.right, up: way * reach.up, count: STRIP })),
  );
  try {
    const told = await Promise.all((await Promise.all(both)).map((answer) => answer.json()));
    if (drag !== own) return;
    strip(told.map(({ shapes }, i) => ({ shapes, way: i === 0 ? -1 : 1, horizontal })));
    say(`${told[0].said} ${told[1].said} ${told[0].every}`);
  } catch {
    // no strip then
  }
}

function strip(parts) {
  const group = document.getElementById("strip");
  if (group === null) return;
  group.replaceChildren();
  if (parts.length === 0 || drag === null) return;
  const box = drag.group.querySelector(".pick").getBBox();
  const at = [box.x + box.width / 2, box.y + box.height / 2];
  for (const { shapes, way, horizontal } of parts) {
    const step = (way * STRIP_M * PER_M) / (shapes.length - 1);
    shapes.slice(1).forEach((shape, i) => {
      const [a, b] = [step * i, step * (i + 1)];
      const [x, y] = at;
      group.append(path(`bar ${shape}`, horizontal ? `M${x + a} ${y}H${x + b}` : `M${x} ${y - a}V${y - b}`));
    });
  }
}

// ---- the drawing: where a pointer is on it, zoom and pan ----------------------------------------------------------------

function spot(event) {
  const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(plan().getScreenCTM().inverse());
  return [point.x, point.y];
}

function whole() {
  return plan().getAttribute("data-whole").split(" ").map(Number);
}

function look(x, y, w) {
  const [, , wide, high] = whole();
  const width = Math.min(wide, Math.max(wide / 12, w));
  const height = (width * high) / wide;
  const clamp = (v, most) => Math.min(most, Math.max(0, v));
  view = width >= wide ? null : [clamp(x, wide - width), clamp(y, high - height), width, height];
  const seen = view ?? whole();
  plan().setAttribute("viewBox", seen.join(" "));
  const names = figure().querySelector(".names");
  names.hidden = view !== null;
}

function zoom(by, at) {
  const [x, y, w, h] = view ?? whole();
  const [cx, cy] = at ?? [x + w / 2, y + h / 2];
  const width = w / by;
  look(cx - ((cx - x) * width) / w, cy - ((cy - y) * width) / w, width);
}

const fingers = new Map();
let pinch = null;

function down(event) {
  fingers.set(event.pointerId, [event.clientX, event.clientY]);
  if (tape !== null) return void point(event);
  if (fingers.size === 2) {
    if (drag !== null) let_go();
    pinch = { apart: apart(), width: (view ?? whole())[2] };
    return;
  }
  const group = event.target.closest(".hold");
  if (group !== null) {
    lift(group);
    drag.from = spot(event);
    drag.pointer = event.pointerId;
    plan().setPointerCapture(event.pointerId);
    event.preventDefault();
  } else if (view !== null) {
    drag = null;
    pinch = { pan: spot(event) };
    plan().setPointerCapture(event.pointerId);
  }
}

function apart() {
  const [a, b] = [...fingers.values()];
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

function moved(event) {
  if (!fingers.has(event.pointerId)) return;
  fingers.set(event.pointerId, [event.clientX, event.clientY]);
  if (pinch?.apart && fingers.size === 2) {
    zoom(apart() / pinch.apart / (pinch.width / (view ?? whole())[2]), spot(event));
    return;
  }
  if (pinch?.pan && view !== null) {
    const [x, y] = spot(event);
    look(view[0] + pinch.pan[0] - x, view[1] + pinch.pan[1] - y, view[2]);
    return;
  }
  if (drag?.pointer !== event.pointerId) return;
  const [x, y] = spot(event);
  const step = fine();
  const round = (v) => Math.round(v / PER_M / step) * step;
  const [right, up] = [round(x - drag.from[0]), -round(y - drag.from[1])];
  if (right !== drag.right || up !== drag.up) move(right, up);
  if (Math.hypot(right, up) > 0.1) line(Math.abs(right) >= Math.abs(up));
}

function up(event) {
  fingers.delete(event.pointerId);
  if (fingers.size === 0) pinch = null;
  if (drag?.pointer === event.pointerId) put();
}

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

function key(event) {
  const group = event.target.closest(".hold");
  if (group === null) return;
  const way = ARROWS[event.key];
  if (way !== undefined) {
    if (drag?.group !== group) lift(group);
    const step = fine() * (event.shiftKey ? COARSE : 1);
    move(drag.right + way[0] * step, drag.up + way[1] * step);
    line(way[0] !== 0);
  } else if (event.key === "Enter" || event.key === " ") {
    if (drag === null) lift(group);
    put();
  } else if (event.key === "Escape" && drag !== null) {
    let_go();
  } else return;
  event.preventDefault();
}

// ---- the measuring tape --------------------------------------------------------------------------------------------------

function point(event) {
  const at = spot(event);
  tape.push(at);
  if (tape.length < 2) return;
  const [a, b] = tape.slice(-2);
  document.getElementById("tape").setAttribute("d", `M${a[0]} ${a[1]}L${b[0]} ${b[1]}`);
  const meters = Math.hypot(a[0] - b[0], a[1] - b[1]) / PER_M;
  fetch(address("/length", { meters })).then(async (answer) => say(answer.ok ? await answer.json() : ""));
  tape = [];
}

function measure(event) {
  tape = tape === null ? [] : null;
  event.currentTarget.setAttribute("aria-pressed", String(tape !== null));
  document.getElementById("tape").setAttribute("d", "");
  say(tape === null ? "" : event.currentTarget.dataset.first);
}

// ---- binding -------------------------------------------------------------------------------------------------------------

function bind() {
  if (matchMedia("(max-width: 63.99rem)").matches) document.querySelector("[data-menu]")?.removeAttribute("open");
  const svg = plan();
  if (svg) {
    figure().classList.add("grip");
    svg.setAttribute("data-whole", svg.getAttribute("viewBox"));
    if (view !== null) look(...view.slice(0, 3));
    svg.addEventListener("pointerdown", down);
    svg.addEventListener("pointermove", moved);
    svg.addEventListener("pointerup", up);
    svg.addEventListener("pointercancel", up);
    svg.addEventListener("keydown", key);
    svg.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2, spot(event));
    }, { passive: false });
    for (const group of svg.querySelectorAll(".hold")) {
      group.setAttribute("tabindex", "0");
      group.setAttribute("role", "button");
      const label = [...document.querySelectorAll("#hold option")].find(
        (one) => one.value === `${group.dataset.where}/${group.dataset.name}`,
      );
      group.setAttribute("aria-label", label?.textContent ?? group.dataset.name);
      group.setAttribute("aria-pressed", String(group.classList.contains("held")));
    }
  }
  for (const part of document.querySelectorAll(".keys, .zoom, [data-measure]")) part.hidden = false;
  document.querySelector("[data-measure]")?.addEventListener("click", measure);
  for (const button of document.querySelectorAll("[data-zoom]")) {
    button.addEventListener("click", () => {
      if (button.dataset.zoom === "all") look(0, 0, Infinity);
      else zoom(button.dataset.zoom === "in" ? 1.4 : 1 / 1.4);
    });
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.closest("[data-live]")) return;
  event.preventDefault();
  if (form.matches(".dims")) return document.activeElement.blur(); // what was typed is sent by its change
  const body = new URLSearchParams(new FormData(form, event.submitter));
  if (form.matches("[data-add]")) {
    const [x, y, w, h] = view ?? whole(); // into the middle of what is seen
    body.set("right", String((x + w / 2) / PER_M + Number(figure().dataset.left)));
    body.set("up", String(Number(figure().dataset.top) - (y + h / 2) / PER_M));
  }
  if (form.method === "get") send(`${form.getAttribute("action")}?${body}`, null);
  else if (form.getAttribute("action").startsWith(`${figure()?.dataset.here ?? ""}?`)) edit(body);
  else send(form.getAttribute("action"), body);
});

// A choice is asked for at once; of the figures of what is held only the one that was changed is sent.
document.addEventListener("change", (event) => {
  const form = event.target.closest("form");
  if (form === null || !form.closest("[data-live]")) return;
  if (form.matches("[method=get]") && event.target.matches("select")) form.requestSubmit();
  if (!form.matches(".dims") || event.target.value === event.target.defaultValue) return;
  const kept = [...form.querySelectorAll("[type=hidden]"), event.target].map((field) => [field.name, field.value]);
  edit(Object.fromEntries(kept));
});

bind();
