"""Every command in the reader's units and language: no metric figure under US units, no English under Spanish."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest

from house_commands import COMMANDS, TABLE
from house_reading import sentences
from standtrue.show.words.catalog import catalog_of

Answered = Mapping[str, Mapping[str, str]]

METRIC = re.compile(r"(?<![\w.])-?\d[\d.,]*\s?(mm|cm|m|km|kg|km/h|m/s)\b(?!/)")
US = re.compile(r"(?<![\w.,])-?\d[\d/,]*\s?(in|ft|lb|mi|mph|sq ft|yd)\b")
WORD = re.compile(r"[A-Za-zÁÉÍÓÚÑÜáéíóúñü']{3,}")
MARKUP = re.compile(r"<style.*?</style>|<script.*?</script>|<[^>]*>|&\w+;", re.DOTALL)
QUOTED = re.compile(
    r'"[^"]*"|`[^`]*`|--[\w-]+|/[\w./-]+|<[^>]*>|\[[^\]]*\]|^.\s+\*?\s*\w+  |\{\w+\}|standtrue \w+', re.MULTILINE
)
"""What is the same in any language: names in quotes, options, files, what an option takes, commands."""


@pytest.mark.parametrize("command", COMMANDS)
def test_no_metric_figure_in_us_units(us: Answered, command: str) -> None:
    leaks = [found[0] for found in METRIC.finditer(plain(us[command]))]
    assert not leaks, f"{command}: {leaks[:20]}"


@pytest.mark.parametrize("command", COMMANDS)
def test_no_us_figure_in_metric_units(spanish: Answered, command: str) -> None:
    """Whoever reads Spanish here reads metric; only what a document or a table says in its own words may stand."""
    leaks = [found[0] for found in US.finditer(plain(spanish[command])) if found[0] not in own_figures()]
    assert not leaks, f"{command}: {leaks[:20]}"


@pytest.mark.parametrize("command", COMMANDS)
def test_no_english_word_in_spanish(spanish: Answered, command: str) -> None:
    english = own_words("en") - own_words("es") - names()
    said = {word.casefold() for word in WORD.findall(QUOTED.sub(" ", plain(spanish[command])))}
    assert not said & english, f"{command}: {sorted(said & english)[:60]}"


def plain(told: Mapping[str, str]) -> str:
    """What a command prints and writes, without markup."""
    return MARKUP.sub(" ", "\n".join(told.values()))


@cache
def own_words(language: str) -> frozenset[str]:
    """The words that the program itself has in a language, without the names of blanks."""
    texts: Iterator[str] = (form for message in sentences() for form in message.forms)
    if language != "en":
        texts = (form for forms in catalog_of(language).sentences.values() for form in forms)
    return frozenset(word.casefold() for text in texts for word in WORD.findall(re.sub(r"\{.*?\}", " ", text)))


@cache
def names() -> frozenset[str]:
    """Words that are not the program's: of names in the demonstration's documents, of a table, and as typed."""
    folder = Path(__file__).parents[2] / "src" / "standtrue" / "demo" / "shop"
    typed = [word for words in COMMANDS.values() for word in words if "=" in word]
    told = [TABLE, *typed] + [
        found for file in folder.glob("*.toml") for found in re.findall(r'"([^"\n]*)"', file.read_text("utf-8"))
    ]
    return frozenset(word.casefold() for text in told for word in WORD.findall(text))


@cache
def own_figures() -> frozenset[str]:
    """US figures in texts of the demonstration's documents, as a condition or what an odometer shows, and the table."""
    folder = Path(__file__).parents[2] / "src" / "standtrue" / "demo" / "shop"
    quoted = [t for file in folder.glob("*.toml") for t in re.findall(r'"([^"\n]*)"', file.read_text("utf-8"))]
    texts = [text for text in quoted if re.search(r"[a-z]{4,} [a-z]|^[\d,]+ mi$", text)]
    columns = [f"{cell} in" for line in TABLE.splitlines() for cell in line.split(",")]
    return frozenset(found[0] for text in (*texts, *columns) for found in US.finditer(text))
