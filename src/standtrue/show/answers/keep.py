"""The answer of `keep`: files and notes that somebody brought to a job."""

from __future__ import annotations

from pydantic import Field

from standtrue.show.answers.parts import AnswerShape, Shape, envelope
from standtrue.work.keep.files import Brought, What


class FileShape(Shape):
    name: str = Field(description="As the file was called where it came from.")
    size: int = Field(description="Bytes.")
    digest: str = Field(description="Of its salt and its bytes; by it the file is found in the record.")


class KeepAnswer(AnswerShape):
    job: str
    what: What
    text: str = Field(description='What was said with it; "" for nothing.')
    files: list[FileShape]


def of_brought(brought: Brought) -> KeepAnswer:
    """What was kept."""
    return KeepAnswer(
        **envelope(brought.basis),
        job=brought.job,
        what=brought.what,
        text=brought.text,
        files=[FileShape(name=one.name, size=one.size, digest=one.digest) for one in brought.files],
    )
