"""The page that plays a plan, in headless Chromium: by mouse, by keyboard, without motion, and in words."""

from __future__ import annotations

import html
import json
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from standtrue.demo import MAIN_JOB, write_demo
from standtrue.documents import read_folder
from standtrue.work.plan_pictures import plan_html, shown_steps
from standtrue.work.plan_words import told_steps
from standtrue.work.plans import PlanAnswer, find_plan

MOST_BYTES = 500_000

FRAMES = """
<script>
// Nothing is drawn here, so no frame ever comes: frames by the clock.
window.requestAnimationFrame = (f) => setTimeout(() => f(performance.now()), 16);
</script>
"""

PRESSING = """
<script>
const pick = (s) => document.querySelector(s);
const now = () => ({
  said: pick('.now strong').textContent,
  current: [...document.querySelectorAll('.steps button')].findIndex((b) => b.getAttribute('aria-current') === 'step'),
  slider: pick('input').value,
  shown: document.querySelectorAll('.scene:not(.off)').length,
  car: pick('.car').classList.contains('off') ? null : pick('.car').getAttribute('transform'),
});
const press = (key, on) => on.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
const seen = [now()];
pick('.next').click(); seen.push(now());
press('ArrowRight', pick('.next')); seen.push(now());
press('ArrowLeft', pick('.next')); seen.push(now());
[...document.querySelectorAll('.steps button')].at(-1).click(); seen.push(now());
pick('.next').click(); seen.push(now());
pick('input').value = '1'; pick('input').dispatchEvent(new Event('input')); seen.push(now());
pick('.play').click(); seen.push({ ...now(), play: pick('.play').textContent });
setTimeout(() => { seen.push({ ...now(), play: pick('.play').textContent });
  document.body.setAttribute('data-seen', JSON.stringify(seen)); }, 60000);
</script>
"""


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> PlanAnswer:
    folder = tmp_path_factory.mktemp("shop")
    write_demo(folder)
    found = read_folder(folder)
    return find_plan(found, found.jobs[MAIN_JOB], alternatives=False)


@pytest.fixture(scope="module")
def page(answer: PlanAnswer) -> str:
    return plan_html(answer)


def played(page: str, folder: Path, *more: str) -> list[dict[str, Any]]:
    """What the page shows while it is used."""
    file = folder / "page.html"
    file.write_text(
        page.replace("</title>", f"</title>{FRAMES}").replace("</body>", f"{PRESSING}</body>"), encoding="utf-8"
    )
    words = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder / 'browser'}"]
    words += ["--virtual-time-budget=90000", *more, "--dump-dom", file.as_uri()]
    told = subprocess.run(words, capture_output=True, text=True, timeout=60, check=True).stdout
    found = re.search(r'data-seen="([^"]*)"', told)
    assert found is not None
    seen: list[dict[str, Any]] = json.loads(html.unescape(found.group(1)))
    return seen


def test_it_stands_alone(page: str) -> None:
    assert len(page.encode()) < MOST_BYTES
    assert not re.search(r"""(src|href)\s*=|@import|url\(|fetch\(|XMLHttpRequest""", page)
    assert set(re.findall(r"https?://[^\"' ]+", page)) <= {"http://www.w3.org/2000/svg"}
    assert "default-src 'none'" in page


def test_it_says_every_step_in_words(page: str, answer: PlanAnswer) -> None:
    assert answer.plan is not None
    for told in told_steps(answer.ordered, answer.plan, answer.site):
        assert f">{html.escape(told.what)}</td>" in page
    assert "INVENTED DEMONSTRATION DATA" in page
    assert "prefers-reduced-motion" in page
    assert "@media print" in page


def test_it_is_worked_by_buttons_keys_and_slider(page: str, answer: PlanAnswer, tmp_path: Path) -> None:
    seen = played(page, tmp_path)
    last = len(shown_steps(answer)) - 1
    assert [s["current"] for s in seen[:8]] == [0, 1, 2, 1, last, last, 1, 1]
    assert all(s["current"] == int(s["slider"]) for s in seen)
    assert all(s["shown"] == 1 for s in seen)
    assert seen[0]["said"].endswith("push in to place 2")
    assert seen[0]["car"] is not None
    assert seen[4]["car"] is None
    assert seen[7]["play"] == "Pause"
    assert seen[8]["current"] > 1


def test_without_motion_it_goes_from_step_to_step(page: str, tmp_path: Path) -> None:
    """Whoever asks for reduced motion sees the car only where it stands."""
    seen = played(page, tmp_path, "--force-prefers-reduced-motion")
    assert seen[8]["current"] > 1
    assert seen[8]["shown"] == 1
