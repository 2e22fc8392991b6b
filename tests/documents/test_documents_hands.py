"""Mistakes of a person's hand: one mistake is told once, with where it stands and how to mend it; habits are taken."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands import Hand
from hands_meant import MEANT
from hands_typed import TYPED

from standtrue.documents import Folder, read_folder, starter_files
from standtrue.model.basics import Fault
from standtrue.show.words.reader import ENGLISH, Reader

TODAY = "2026-06-01"
US, SPANISH = Reader(units="us"), Reader(language="es")


def _shop(hand: Hand, folder: Path) -> dict[str, int]:
    """Write the shop with the mistake in it; the line of the last change in each file."""
    texts, lines = starter_files(), dict[str, int]()
    del texts["rules.toml"]  # the same rules count without it, and are read once
    for invented, real in (("demonstration = true", "demonstration = false"), ('"demonstration"', '"transcribed"')):
        texts = {file: text.replace(invented, real) for file, text in texts.items()}
    for file, old, new in hand.changes:
        assert old in texts[file], f"{file} holds no {old}"
        at = texts[file].index(old) if old else len(texts[file])
        lines[file] = texts[file].count("\n", 0, at) + 1
        texts[file] = texts[file][:at] + new + texts[file][at + len(old) :]
    for file, text in texts.items():
        (folder / file).write_text(text, encoding="utf-8")
    for name, data in hand.files:
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        if data is None:
            path.unlink()
        elif data.startswith(b"COPY OF "):
            path.write_bytes((folder / data[8:].decode()).read_bytes())
        elif data.startswith(b"CRLF OF "):
            path.write_bytes((folder / data[8:].decode()).read_bytes().replace(b"\n", b"\r\n"))
        else:
            path.write_bytes(data)
    return lines


def _told(folder: Folder) -> list[str]:
    return [f"{one.code} {one.file} {one.field} {_sentences(one)}" for one in (*folder.faults, *folder.doubts)]


def _sentences(one: Fault, reader: Reader = US) -> str:
    return f"{reader.reason(one.what)} {one.value} {reader.reason(one.remedy)}"


@pytest.mark.parametrize("hand", [*TYPED, *MEANT], ids=lambda hand: hand.what)
def test_a_mistake_is_told_once_with_where_and_how_to_mend_it(hand: Hand, tmp_path: Path) -> None:
    lines = _shop(hand, tmp_path)
    folder = read_folder(tmp_path, today=TODAY)
    assert len(folder.faults) + len(folder.doubts) == len(hand.said), _told(folder)
    for said in hand.said:
        found = [
            one
            for one in (folder.faults if said.fault else folder.doubts)
            if (one.code, one.file) == (said.code, said.file)
        ]
        assert len(found) == 1, _told(folder)
        if said.field_line and len(hand.changes) == 1:
            assert found[0].line is not None, "where a file was typed into is told by its line"
        if isinstance(said.where, int):
            assert found[0].line == lines.get(said.file, 0) + said.where, found[0].line
        else:
            assert found[0].field == said.where, _told(folder)
        text = _sentences(found[0])
        assert all(word in text for word in said.words), text
        assert ENGLISH.reason(found[0].remedy) != "", "a mistake is told with how to mend it"
        assert _sentences(found[0], SPANISH) != _sentences(found[0], ENGLISH), "both languages say it"


def test_dates_of_invented_data_lie_on_no_calendar(tmp_path: Path) -> None:
    for file, text in starter_files().items():
        (tmp_path / file).write_text(text.replace("2026-01-15", "2062-01-15"), encoding="utf-8")
    assert read_folder(tmp_path, today=TODAY).doubts == ()
