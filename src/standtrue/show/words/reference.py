"""The words of the reference in `docs/`: Markdown in US English, like all of `docs/`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from standtrue.model.cautions import CAUTIONS
from standtrue.model.reason import Reason
from standtrue.show.words.faults import doubt_reference, fault_reference
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.reasons.cautions import CALLED_WHEN


def commands_page(about: str, commands: Iterable[tuple[str, str, Sequence[tuple[str, str]]]]) -> str:
    """The commands, each with what it does and its arguments and options."""
    lines = ["# Commands", "", about, ""]
    for name, told, options in commands:
        lines += [f"## standtrue {name}", "", told, "", "| | |", "|---|---|"]
        lines += [f"| {option} | {does} |" for option, does in options]
        lines.append("")
    return "\n".join(lines).rstrip() + "\n"


def faults_page() -> str:
    """Every code of a fault and what it means."""
    doubts = "## Warnings of `read`\n\nWhat can be read and can hardly be meant. It keeps no document from being used."
    faults = f"# Faults\n\nEvery code that bad input can get.\n\n{fault_reference().strip()}"
    return f"{faults}\n\n{doubts}\n\n{doubt_reference().strip()}\n"


def cautions_page() -> str:
    """The table of cautions and what calls for each."""
    lines = ["# Cautions", "", "| caution | called for when | text |", "|---|---|---|"]
    for caution in CAUTIONS:
        calls = "; ".join(sorted(CALLED_WHEN[fact] for fact in caution.calls)) or "always"
        lines.append(f"| {caution.code} | {calls} | {ENGLISH.reason(caution.reason)} |")
    return "\n".join(lines) + "\n"


def estimates_page(estimates: Iterable[tuple[str, Reason, Reason]]) -> str:
    """The rules that stand in for dimensions a vehicle document leaves out: field, rule, source."""
    lines = ["# Estimated dimensions", "", "Where a vehicle document leaves one out, and the answer says so.", ""]
    lines += ["| field | rule | source |", "|---|---|---|"]
    lines += [f"| `{field}` | {ENGLISH.reason(rule)} | {ENGLISH.reason(source)} |" for field, rule, source in estimates]
    return "\n".join(lines) + "\n"
