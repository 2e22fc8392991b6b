// Plays a plan: the car moves along its paths; zones and targets appear with their step. No network, no storage.
"use strict";
function start(root) {
  const plan = JSON.parse(root.querySelector("script[type='application/json']").textContent);
  const svg = root.querySelector(".floor");
  const car = root.querySelector(".car");
  const say = root.querySelector(".now");
  const away = root.querySelector(".away");
  const key = root.querySelector(".key");
  const slider = root.querySelector("input[type='range']");
  const play = root.querySelector(".play");
  const near = root.querySelector(".near");
  const back = root.querySelector(".back");
  const next = root.querySelector(".next");
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const whole = svg.getAttribute("viewBox").split(" ").map(Number);
  const drawn = [...svg.querySelectorAll("[data-scene]")];
  const parts = [...svg.querySelectorAll("[data-part]")];
  const sets = [...svg.querySelectorAll(".names")];
  const buttons = [...root.querySelectorAll(".steps button")];
  const MOVE_MS = 4000;
  const REST_MS = 2200;
  const SWIPE_PX = 48;
  const READ_PX = 14;
  let at = -1;
  let playing = false;
  let begun = 0;

  function pose(place) {
    car.classList.toggle("off", place === null);
    if (place !== null) car.setAttribute("transform", `translate(${place[0]} ${place[1]}) rotate(${place[2]})`);
  }

  // Between two poses, turning the short way.
  function between(path, share) {
    const x = Math.min(path.length - 1, share * (path.length - 1));
    const i = Math.min(path.length - 2, Math.floor(x));
    if (i < 0) return path[0];
    const [a, b] = [path[i], path[i + 1]];
    const turn = ((b[2] - a[2] + 540) % 360) - 180;
    const f = x - i;
    return [a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1]), a[2] + f * turn];
  }

  // The whole floor, or the part of it that matters. Of the names those that can be read at this scale, no larger than
  // that takes; a name that would be cut is left out.
  function look() {
    const close = near.getAttribute("aria-pressed") === "true";
    const [x, y, w, h] = close ? plan.scenes[at].near : whole;
    svg.setAttribute("viewBox", `${x} ${y} ${w} ${h}`);
    const scale = svg.getScreenCTM().a;
    const sizes = [...new Set(sets.map((g) => Number(g.dataset.mm)))].sort((a, b) => a - b);
    const mm = sizes.find((size) => size * scale >= READ_PX) ?? sizes[sizes.length - 1];
    svg.classList.add("read");
    svg.style.setProperty("--share", String(Math.min(1, READ_PX / (mm * scale))));
    sets.forEach((g) => g.classList.toggle("off", Number(g.dataset.mm) !== mm));
    sets.filter((g) => Number(g.dataset.mm) === mm && g.closest(".off") === null).forEach((g) =>
      g.querySelectorAll(".name").forEach((name) => {
        name.classList.remove("cut");
        const b = name.getBBox();
        name.classList.toggle("cut", b.x < x || b.y < y || b.x + b.width > x + w || b.y + b.height > y + h);
      }),
    );
  }

  function explain(scene) {
    key.querySelectorAll("[data-role]").forEach((e) => e.classList.toggle("off", !scene.key.includes(e.dataset.role)));
    scene.key.forEach((role) => key.append(key.querySelector(`[data-role="${role}"]`)));
  }

  // The list alone is scrolled, never the page.
  function list() {
    const box = buttons[at].closest(".steps");
    const [row, frame] = [buttons[at].getBoundingClientRect(), box.getBoundingClientRect()];
    if (row.top < frame.top) box.scrollTop -= frame.top - row.top;
    if (row.bottom > frame.bottom) box.scrollTop += row.bottom - frame.bottom;
  }

  // The address names the step, so that it can be kept or sent on; a browser that forbids that does without.
  function keep() {
    try {
      history.replaceState(null, "", `#step-${at + 1}`);
    } catch (forbidden) {
      if (!(forbidden instanceof DOMException)) throw forbidden;
    }
  }

  function change(number) {
    at = number;
    const scene = plan.scenes[at];
    drawn.forEach((g) => g.classList.toggle("off", Number(g.dataset.scene) !== at));
    parts.forEach((g) => g.classList.toggle("off", scene.hidden.includes(Number(g.dataset.part))));
    buttons.forEach((b, i) => (i === at ? b.setAttribute("aria-current", "step") : b.removeAttribute("aria-current")));
    const line = (text, kind) => Object.assign(document.createElement("p"), { textContent: text, className: kind });
    const title = document.createElement("p");
    title.append(Object.assign(document.createElement("strong"), { textContent: scene.title }));
    say.replaceChildren(
      title,
      ...scene.cautions.map((text) => line(text, "caution")),
      ...scene.said.map((text) => line(text, "")),
    );
    slider.value = String(at);
    slider.setAttribute("aria-valuetext", scene.title);
    back.setAttribute("aria-disabled", String(at === 0));
    next.setAttribute("aria-disabled", String(at === plan.scenes.length - 1));
    away.classList.toggle("off", scene.path.length > 0);
    explain(scene);
    look();
    list();
    if (!playing) keep();
    root.dispatchEvent(new CustomEvent("step", { detail: buttons[at] }));
  }

  function show(number, share) {
    if (number !== at) change(number);
    const path = plan.scenes[at].path;
    pose(path.length ? between(path, share) : null);
  }

  function halt() {
    playing = false;
    play.textContent = plan.words.play;
  }

  function tick(now) {
    if (!playing) return;
    const moving = plan.scenes[at].path.length > 1 && !calm.matches;
    const share = (now - begun) / (moving ? MOVE_MS : REST_MS);
    if (share < 1) {
      if (moving) show(at, share);
    } else if (at + 1 < plan.scenes.length) {
      begun = now;
      show(at + 1, calm.matches ? 1 : 0);
    } else {
      show(at, 1);
      halt();
      return;
    }
    requestAnimationFrame(tick);
  }

  function go(number) {
    halt();
    show(Math.max(0, Math.min(plan.scenes.length - 1, number)), 1);
  }

  play.addEventListener("click", () => {
    if (playing) {
      halt();
      return;
    }
    playing = true;
    play.textContent = plan.words.pause;
    begun = performance.now();
    show(at + 1 < plan.scenes.length ? at : 0, calm.matches ? 1 : 0);
    requestAnimationFrame(tick);
  });
  back.addEventListener("click", () => go(at - 1));
  next.addEventListener("click", () => go(at + 1));
  near.addEventListener("click", () => {
    near.setAttribute("aria-pressed", String(near.getAttribute("aria-pressed") !== "true"));
    look();
  });
  slider.addEventListener("input", () => go(Number(slider.value)));
  buttons.forEach((b, i) => b.addEventListener("click", () => go(i)));
  // Wherever the focus is, but where the arrow keys mean something else.
  document.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (!root.isConnected || step === undefined || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    if (event.target.closest("input, select, textarea, .chart, [role=region]") !== null) return;
    event.preventDefault();
    go(at + step);
  });

  // One finger drawn across the picture goes a step on or back; up and down still scrolls, two fingers still zoom,
  // and in a page that is zoomed in one finger still moves it every way.
  const lens = window.visualViewport;
  let finger = null;
  const zoomed = () => lens !== null && lens.scale > 1.01;
  if (lens !== null) lens.addEventListener("resize", () => svg.classList.toggle("zoomed", zoomed()));
  svg.addEventListener("pointerdown", (event) => {
    if (event.pointerType !== "touch") return;
    finger = event.isPrimary && !zoomed() ? { x: event.clientX, y: event.clientY } : null;
  });
  svg.addEventListener("pointercancel", () => { finger = null; });
  svg.addEventListener("pointerup", (event) => {
    if (finger === null || !event.isPrimary) return;
    const [dx, dy] = [event.clientX - finger.x, event.clientY - finger.y];
    finger = null;
    if (Math.abs(dx) < SWIPE_PX || Math.abs(dx) <= 2 * Math.abs(dy)) return;
    // The words above the picture may be more or fewer now: the picture stays under the finger.
    const top = svg.getBoundingClientRect().top;
    go(at + (dx < 0 ? 1 : -1));
    window.scrollBy(0, svg.getBoundingClientRect().top - top);
  });

  if (window.matchMedia("(max-width: 50rem)").matches) near.setAttribute("aria-pressed", "true");
  function asked() {
    if (!root.isConnected) return;
    const step = /^#step-(\d+)$/.exec(location.hash);
    if (step !== null || at < 0) go(step === null ? 0 : Number(step[1]) - 1);
  }
  window.addEventListener("hashchange", asked);
  window.addEventListener("resize", () => {
    if (root.isConnected) look();
  });
  asked();
}
document.querySelectorAll("[data-plan]").forEach(start);
// A page that puts a new plan in place of one tells so.
document.addEventListener("plan", (event) => start(event.target));
