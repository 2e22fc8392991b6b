"""What documents call by a name that is no document's: steps that come first, and equipment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from typing import Any

from standtrue.documents.doubts.known import NEARLY
from standtrue.documents.faults import choice_remedy, nearest
from standtrue.documents.leaves import holds_divider
from standtrue.documents.parts import Path, listed, tables
from standtrue.model.reason import Reason, because
from standtrue.needs import is_known_step

Contents = Sequence[tuple[str, dict[str, Any]]]
"""The kind and the content of each document of a folder, sound or not."""

Unknown = tuple[Path, Reason, Reason]
"""Where a name stands that nothing bears, what is wrong with it, and how to mend it."""


def unknown_names(kind: str, content: dict[str, Any], folder: Contents) -> Iterator[Unknown]:
    """The names in a job or a card that mean nothing in the whole folder."""
    site = [one for what, one in folder if what == "site" and one.get("name") == content.get("site")]
    if kind == "job":
        for i, work in tables(content.get("work")):
            yield from _steps(work, ("work", i), folder)
            yield from _equipment(work, ("work", i), site)
    if kind == "survey":
        yield from _lifts(content, site)
    if kind == "setup":
        yield from _stance(content, folder)
    if kind == "procedure":
        sites = [one for what, one in folder if what == "site"]
        yield from _steps(content, (), folder)
        yield from _equipment(content, (), sites)
        for i, variant in tables(content.get("variants")):
            yield from _equipment(variant, ("variants", i), sites)


def _steps(named: dict[str, Any], path: Path, folder: Contents) -> Iterator[Unknown]:
    """What comes first: a work of a job, a card, a sensor, a stage, an event or a fact."""
    own = [str(w.get("name", "")) for kind, job in folder if kind == "job" for _, w in tables(job.get("work"))]
    cards = [str(card.get("name", "")) for kind, card in folder if kind == "procedure"]
    known = list(dict.fromkeys(filter(None, [*own, *cards])))
    for place, name in _texts(named.get("after")):
        if not is_known_step(name, known):
            remedy = because("name-a-step", near=nearest(name, known))
            yield (*path, "after", *place), because("no-step-of-that-name"), remedy


def _lifts(survey: dict[str, Any], sites: Sequence[dict[str, Any]]) -> Iterator[Unknown]:
    """The lifts whose state a survey tells are lifts of its site."""
    known = [str(lift.get("name", "")).strip() for site in sites for _, lift in tables(site.get("lifts"))]
    state = survey.get("state")
    if sites and isinstance(state, dict):
        for name in state:
            if name.strip() not in known and not holds_divider(nearest(name, known) or ""):
                yield ("state", name), because("no-lift-of-that-name"), choice_remedy(name, known)


def _stance(setup: dict[str, Any], folder: Contents) -> Iterator[Unknown]:
    """What a set-up's car stands on is the floor, or a lift of its job's site in a state of that lift."""
    stance = setup.get("stance")
    on = str(stance.get("on", "floor")).strip() if isinstance(stance, dict) else "floor"
    jobs = [one.get("site") for kind, one in folder if kind == "job" and one.get("name") == setup.get("job")]
    site = next((one for kind, one in folder if kind == "site" and one.get("name") in jobs), None)
    if site is None:
        return
    types = {str(one.get("name")): one for kind, one in folder if kind == "lift"}
    known = ["floor"]
    for _, lift in tables(site.get("lifts")):
        of = str(lift.get("type"))
        if not lift.get("states") and of not in types and on.startswith(f"{lift.get('name', '')}/"):
            return  # a type that is not there is a fault of its own
        own = lift if lift.get("states") else types.get(of, {})
        known += [f"{lift.get('name', '')}/{state.get('name', '')}".strip() for _, state in tables(own.get("states"))]
    if on not in known:
        yield ("stance", "on"), because("no-such-support"), choice_remedy(on, known)


def _equipment(named: dict[str, Any], path: Path, sites: Sequence[dict[str, Any]]) -> Iterator[Unknown]:
    """Equipment by name or by kind. Where no site lists any, whoever wrote it is believed to have it."""
    items = [item for site in sites for _, item in tables(site.get("equipment"))]
    known = list(dict.fromkeys(str(item[key]).strip() for item in items for key in ("name", "kind") if key in item))
    if not known:
        return
    targets = ((("targets", i, "equipment"), target.get("equipment")) for i, target in tables(named.get("targets")))
    asked = [(("equipment", *place), name) for place, name in _texts(named.get("equipment"))]
    asked += [(where, name.strip()) for where, name in targets if isinstance(name, str) and name.strip()]
    yield from (
        ((*path, *where), because("no-equipment-of-that-name"), because("name-equipment", near=nearest(name, known)))
        for where, name in asked
        if name not in known
    )


def near_skills(kind: str, content: dict[str, Any], folder: Contents) -> Iterator[Unknown]:
    """The skills that a job or a card asks for and nobody has, where somebody has one that is spelled nearly so."""
    sites = [
        one for what, one in folder if what == "site" and (kind != "job" or one.get("name") == content.get("site"))
    ]
    people = [person for site in sites for _, person in tables(site.get("people"))]
    known = list(dict.fromkeys(skill for person in people for _, skill in _texts(person.get("skills"))))
    asking: list[tuple[Path, dict[str, Any]]] = [((), content)] if kind == "procedure" else []
    if kind == "job":
        asking = [(("work", i), work) for i, work in tables(content.get("work"))]
    for path, named in asking:
        for place, skill in _texts(named.get("skills")):
            near = get_close_matches(skill.lower(), known, n=1, cutoff=NEARLY)
            if skill not in known and near:
                yield (*path, "skills", *place), because("skill-nearly-known"), because("did-you-mean", near=near[0])


def _texts(value: object) -> Iterator[tuple[Path, str]]:
    """The texts of a list, with their places in it; one text may stand for a list of it alone."""
    if isinstance(value, str) and value.strip():
        yield (), value.strip()
    yield from (((i,), text.strip()) for i, text in listed(value) if isinstance(text, str) and text.strip())
