// Plays a plan: the car moves along its paths; zones and targets appear with their step. No network, no storage.
"use strict";
(() => {
  const root = document.querySelector("[data-plan]");
  const plan = JSON.parse(root.querySelector("script[type='application/json']").textContent);
  const car = root.querySelector(".car");
  const say = root.querySelector(".now");
  const slider = root.querySelector("input[type='range']");
  const play = root.querySelector(".play");
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const scenes = [...root.querySelectorAll(".scene")];
  const floor = [...root.querySelectorAll(".floor-part")];
  const buttons = [...root.querySelectorAll(".steps button")];
  const MOVE_MS = 4000;
  const REST_MS = 2200;
  let at = 0;
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

  function show(number, share) {
    const scene = plan.scenes[number];
    if (number !== at || !say.dataset.shown) {
      at = number;
      say.dataset.shown = "yes";
      scenes.forEach((g, i) => g.classList.toggle("off", i !== at));
      floor.forEach((g, i) => g.classList.toggle("off", scene.hidden.includes(i)));
      buttons.forEach((b, i) => (i === at ? b.setAttribute("aria-current", "step") : b.removeAttribute("aria-current")));
      say.replaceChildren(...scene.said.map((line, i) => {
        const p = document.createElement("p");
        if (i === 0) p.append(Object.assign(document.createElement("strong"), { textContent: line }));
        else p.textContent = line;
        return p;
      }));
      slider.value = String(at);
      slider.setAttribute("aria-valuetext", scene.said[0]);
      if (!playing) history.replaceState(null, "", `#step-${at + 1}`);
    }
    pose(scene.path.length ? between(scene.path, share) : null);
  }

  function halt() {
    playing = false;
    play.textContent = "Play";
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
    play.textContent = "Pause";
    begun = performance.now();
    show(at + 1 < plan.scenes.length ? at : 0, calm.matches ? 1 : 0);
    requestAnimationFrame(tick);
  });
  root.querySelector(".back").addEventListener("click", () => go(at - 1));
  root.querySelector(".next").addEventListener("click", () => go(at + 1));
  slider.addEventListener("input", () => go(Number(slider.value)));
  buttons.forEach((b, i) => b.addEventListener("click", () => go(i)));
  root.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (step === undefined || event.target === slider || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    go(at + step);
  });
  const asked = /^#step-(\d+)$/.exec(location.hash);
  go(asked ? Number(asked[1]) - 1 : 0);
})();
