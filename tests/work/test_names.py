"""The names told to who is typing one."""

import os
from pathlib import Path

from standtrue.work.shop.names import LARGEST_BYTES, names_in


def test_only_what_is_a_readable_document_is_named(tmp_path: Path) -> None:
    car = 'kind = "car"\nname = "{}"\n'
    (tmp_path / "one.toml").write_text(car.format("one"))
    (tmp_path / "broken.toml").write_text("kind = ")
    (tmp_path / "deep.json").write_text("[" * 100_000)
    (tmp_path / "large.toml").write_text(car.format("large") + "#" * LARGEST_BYTES)
    (tmp_path / ".kept").mkdir()
    (tmp_path / ".kept" / "hidden.toml").write_text(car.format("hidden"))
    os.mkfifo(tmp_path / "pipe.toml")
    assert names_in(tmp_path, "car") == ["one"]
    assert names_in(tmp_path / "nowhere", "car") == []
