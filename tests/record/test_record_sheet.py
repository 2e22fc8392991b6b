"""The record of a job on paper: what a customer and an insurer must find on it, and what is never counted as done."""

from __future__ import annotations

import json
import re
import shutil
import struct
import zlib
from pathlib import Path

import pytest
from attrs import evolve
from paper_makers import overlapping, read, squeezed
from record_makers import JOB, TOLD, write_shop
from sqlalchemy import text

from standtrue.draw.backends.pdf import PaperSize
from standtrue.draw.backends.photo import read_photo
from standtrue.model.reader_units import Language, System
from standtrue.seal import Kept
from standtrue.show.answers.keep import of_brought
from standtrue.show.answers.kept import said_of
from standtrue.show.answers.record import RecordAnswer
from standtrue.show.answers.recorded import of_record
from standtrue.show.sheets.record.page import photo_digests, record_pdf
from standtrue.show.words.reader import Reader
from standtrue.store.database import open_store
from standtrue.work.keep.files import keep_files
from standtrue.work.keep.signing import sign
from standtrue.work.records.gathering import JobRecord, gather_record, read_whole

OnPaper = tuple[PaperSize, System, Language]

READERS: tuple[OnPaper, ...] = (
    ("letter", "us", "en"), ("a4", "metric", "en"), ("letter", "metric", "es"), ("a4", "us", "es"),
)  # fmt: skip


def png(width: int = 3, height: int = 2, extra: bytes = b"") -> bytes:
    """A red picture (ISO/IEC 15948), with one more chunk of text if told."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    lines = zlib.compress((b"\0" + b"\xff\0\0" * width) * height)
    told = chunk(b"tEXt", extra) if extra else b""
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + told + chunk(b"IDAT", lines) + chunk(b"IEND", b"")


@pytest.fixture(scope="module")
def signed(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    """A store with one job: a photo, a scan from before, a sign-off."""
    folder = tmp_path_factory.mktemp("shop")
    place = str(folder / "kept.db")
    open_store(place, make=True).close()
    shop = write_shop(folder / "shop")
    photo, scan = folder / "board.png", folder / "scan.txt"
    photo.write_bytes(png(extra=b"Comment\0taken at 40.7 N 74.0 W"))
    scan.write_text("front radar: no communication", encoding="utf-8")
    for what, file, said in (("photo", photo, "the board"), ("scan before", scan, "")):
        keep_files(place, shop, JOB, what, [file], said, "Person A", lambda one: said_of(of_brought(one)))
    sign(place, shop, JOB, "Person B", TOLD)
    return place, folder


def told(place: str) -> RecordAnswer:
    return of_record(gather_record(place, JOB))


def pages(
    record: RecordAnswer, photos: dict[str, bytes], folder: Path, reader: OnPaper = ("letter", "us", "en")
) -> list[str]:
    paper, units, language = reader
    pdf = record_pdf(record, photos, paper, Reader(units, language))
    return [squeezed(page) for page in read(folder, pdf).run("pdftotext", "-raw").split("\f")[:-1]]


@pytest.mark.parametrize("reader", READERS)
def test_the_customer_reads_one_page_in_every_version(
    signed: tuple[str, Path], tmp_path: Path, reader: OnPaper
) -> None:
    record = told(signed[0])
    photos = dict(read_whole(signed[0], photo_digests(record), 1 << 20))
    paper, units, language = reader
    pdf = record_pdf(record, photos, paper, Reader(units, language))
    assert pdf == record_pdf(record, photos, paper, Reader(units, language))
    got = read(tmp_path, pdf)
    assert got.info()["Tagged"] == "yes"
    assert overlapping(got.words()) == []
    assert all(word.size_pt > 8.99 for word in got.words() if word.x1 - word.x0 > word.y1 - word.y0)
    shown = pages(record, photos, tmp_path, reader)
    grouped = "".join(record.digest)
    assert grouped in shown[0].replace("\n", ""), "all 64 characters on the customer's page"

    assert all(re.search("DEMON?STRA", page) for page in shown)
    for word in ("passed", "OK", "is safe."):
        assert not re.search(rf"(?<!doesnotsaythatthevehicle){word}", shown[0])


def test_everything_that_was_kept_is_on_it(signed: tuple[str, Path], tmp_path: Path) -> None:
    record = told(signed[0])
    assert RecordAnswer.from_json(json.loads(json.dumps(record.to_json()))) == record
    assert record.whole
    photos = dict(read_whole(signed[0], photo_digests(record), 1 << 20))
    text = "".join(pages(record, photos, tmp_path))
    for said in ("RO-4711", "plateABC123", "PersonB", "edition" + "invented,3", "scan.txt", "board.png", "Theboard.",
                 "Coversforwardcamera", "knownto"):  # fmt: skip
        assert said in text, said
    (measured,) = record.measured
    assert measured.answer.set_up is not None
    for reading in measured.answer.set_up.readings:
        assert re.search(rf"(?<!\d){reading.number}[a-z]", text)
    assert "Nobodyhassignedit" not in text


def test_what_is_missing_is_named_and_never_counted_as_done(signed: tuple[str, Path]) -> None:
    record = told(signed[0])
    codes = [one.code for one in record.missing_coded]
    assert "record-no-scan-after" in codes
    assert "record-no-scan-before" not in codes
    assert "record-not-finished" in codes, "nobody wrote that the calibration finished"
    gathered = gather_record(signed[0], JOB)
    only = {kind: of_record(evolve(gathered, entries=_of(gathered, kind))) for kind in ("needs", "keep", "sign")}
    assert {"record-no-scan-before", "record-unsigned", "record-nothing-kept"} <= _codes(only["needs"])
    assert {"record-no-needs", "record-unsigned"} <= _codes(only["keep"])
    assert "record-unsigned" not in _codes(only["sign"])


def _of(record: JobRecord, kind: str) -> tuple[Kept, ...]:
    return tuple(one for one in record.entries if one.entry.kind == kind)


def _codes(record: RecordAnswer) -> set[str]:
    return {one.code for one in record.missing_coded}


def test_removed_content_is_named_and_a_later_entry_is_covered_by_no_signature(signed: tuple[str, Path]) -> None:
    gathered = gather_record(signed[0], JOB)
    first, *rest = gathered.entries
    removed = of_record(evolve(gathered, entries=(evolve(first, salt=None, content=None), *rest)))
    assert "record-removed" in _codes(removed)
    assert removed.entries[0].removed
    after = of_record(evolve(gathered, entries=(*gathered.entries, evolve(
        first, entry=evolve(first.entry, number=len(gathered.entries))))))  # fmt: skip
    assert "record-entries-since" in _codes(after)


def test_an_altered_entry_is_told_first(signed: tuple[str, Path], tmp_path: Path) -> None:
    shutil.copy(signed[0], tmp_path / "copy.db")
    with open_store(tmp_path / "copy.db") as store, store.writing() as connection:
        connection.execute(text("UPDATE entry SET who = 'Person C' WHERE kind = 'sign'"))
    record = told(str(tmp_path / "copy.db"))
    assert not record.whole
    first = pages(record, {}, tmp_path)[0]
    assert first.index("Therecordisnotwhole") < first.index("Required:")


def test_a_photo_loses_what_tells_where_it_was_taken() -> None:
    found = read_photo(png(extra=b"Comment\0taken at 40.7 N 74.0 W"))
    assert found is not None
    assert b"74.0" not in found.content
    assert (found.width, found.height) == (3, 2)


def jpeg(orientation: int) -> bytes:
    """The parts of a JPEG file of 4 by 2 pixels (ITU-T T.81, annex B) with Exif, around no picture."""
    exif = b"Exif\0\0MM\0*" + struct.pack(">IHHHIHHI", 8, 1, 0x0112, 3, 1, orientation, 0, 0)
    app1 = b"\xff\xe1" + struct.pack(">H", 2 + len(exif)) + exif
    frame = b"\xff\xc0" + struct.pack(">HBHHB", 11, 8, 2, 4, 1) + b"\x01\x11\x00"
    scan = b"\xff\xda" + struct.pack(">HB", 8, 1) + b"\x01\x00\x00\x3f\x00" + b"\x00"
    return b"\xff\xd8" + app1 + frame + scan + b"\xff\xd9"


@pytest.mark.parametrize(("orientation", "turn"), [(1, 0), (3, 180), (6, 90), (8, 270), (99, 0)])
def test_a_jpeg_keeps_which_way_up_it_is_and_nothing_else_of_exif(orientation: int, turn: int) -> None:
    found = read_photo(jpeg(orientation))
    assert found is not None
    assert (found.width, found.height, found.turn) == (4, 2, turn)
    assert b"Exif" not in found.content


def test_what_is_no_whole_photo_is_not_printed() -> None:
    good = png()
    for cut in range(len(good)):
        assert read_photo(good[:cut]) is None
    for at in range(8, len(good)):
        bad = bytes((*good[:at], good[at] ^ 0x55, *good[at + 1 :]))
        assert read_photo(bad) is None or bad[:8] != good[:8]
    assert read_photo(jpeg(1)[:-2]) is None
    assert read_photo(b"%PDF-1.7") is None
    assert read_photo(png(40_001, 1000)) is None, "more pixels than are printed"
