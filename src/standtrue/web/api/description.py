"""The API described (OpenAPI): its own routes only, and the shape of what is refused."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from standtrue.show.answers.parts import program
from standtrue.show.answers.served import ProblemAnswer

WHERE = "#/components/schemas/{model}"


def describe(app: FastAPI) -> None:
    """Let the app describe its API."""

    def described() -> dict[str, Any]:
        if app.openapi_schema is None:
            told = get_openapi(title="Standtrue", version=program(), routes=app.routes)
            schemas = told.setdefault("components", {}).setdefault("schemas", {})
            problem = ProblemAnswer.model_json_schema(ref_template=WHERE, mode="serialization")
            schemas |= problem.pop("$defs", {})
            schemas["ProblemAnswer"] = problem
            for unused in ("HTTPValidationError", "ValidationError"):
                schemas.pop(unused, None)
            app.openapi_schema = told
        return app.openapi_schema

    app.openapi = described  # type: ignore[method-assign]  # as FastAPI has its description changed
