"""The whole API against its own description: whatever is sent, no fault of the program and no undocumented answer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from standtrue.demo import write_demo
from standtrue.model.asking import Asking
from standtrue.web.app import make_app
from standtrue.web.limits import Buckets, Limits
from standtrue.web.tasks import Task, Tasks
from web_fixtures import new_state

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
EXAMPLES, MANY = 8, 400


class _Hurried(Tasks):
    """Every long answer is stopped as soon as it is asked: what is held here is how it is told."""

    def ask(self, key: Hashable, answer: Callable[[Asking], Any], number: str | None = None) -> Task:
        task = super().ask(key, answer, number)
        task.stop()
        return task


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    folder: Path = tmp_path_factory.mktemp("described") / "shop"
    write_demo(folder)
    for name in ("study.toml", "mix.toml"):  # what only takes long
        (folder / name).unlink()
    state = new_state(folder)
    state.hosts |= {"testserver"}  # what the tests' client calls the app
    state.tasks = _Hurried()
    state.limits = Limits(addresses=Buckets(1e6, 1e6))
    yield make_app(state)
    state.tasks.close()
    state.uploads.close()
    state.served.close()


def test_whatever_is_sent_is_answered_as_described(app: FastAPI) -> None:
    hold_to_description(app, EXAMPLES)


@pytest.mark.long
def test_whatever_is_sent_is_answered_as_described_long(app: FastAPI) -> None:
    hold_to_description(app, MANY)


def hold_to_description(app: FastAPI, examples: int) -> None:
    """So many requests of every kind to every route; all that goes wrong is told at once."""
    wrong: list[str] = []
    schema = schemathesis.openapi.from_asgi("/api/v1/openapi.json", app)
    answered: Counter[int] = Counter()
    for found in schema.get_all_operations():
        assert isinstance(found, Ok)
        operation = found.ok()

        @given(case=operation.as_strategy(), real=st.booleans())
        @settings(
            max_examples=examples,
            deadline=None,
            derandomize=True,
            database=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        def ask(case: schemathesis.Case[Any], real: bool) -> None:
            if real:
                for sent in (case.path_parameters, case.query, case.body):
                    _name(sent)
            answered[case.call_and_validate(checks=CHECKS).status_code] += 1

        try:
            ask()
        except Exception as fault:
            wrong.append(f"{operation.label}: {fault}")
    assert wrong == [], "\n\n".join(wrong)
    assert {200, 202, 404, 409, 422, 428} <= set(answered), answered


REAL = {
    "kind": "vehicle",
    "name": "Tavlin Corrow",
    "job": "corrow front",
    "setup": "corrow camera",
    "vehicle": "Tavlin Corrow",
    "survey": "hall floor, winter",
    "lift": "flush two-deck",
    "procedures": ["forward camera wide board"],
}
"""What there is: a name that nothing bears is soon answered."""


def _name(sent: Any) -> None:
    """Let what is sent name what there is, where it names something."""
    if isinstance(sent, dict):
        sent.update({key: value for key, value in REAL.items() if key in sent})
