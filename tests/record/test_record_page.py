"""The customer's page of a record: one page whatever the job, by the shop's clock, with a code for a telephone."""

from __future__ import annotations

from pathlib import Path

import pytest
import qr_oracle
from attrs import evolve
from paper_makers import overlapping, read, squeezed
from record_makers import JOB, TOLD, write_shop

from standtrue.draw.backends.pdf import PaperSize
from standtrue.draw.backends.qr import qr_picture
from standtrue.model.reader_units import Language, System
from standtrue.model.sensor_kinds import SENSORS
from standtrue.model.shop import Shop
from standtrue.show.answers.kept import said_of
from standtrue.show.answers.needs import NeedShape, Overruled
from standtrue.show.answers.parts import Coded
from standtrue.show.answers.record import RecordAnswer, SignedKept
from standtrue.show.answers.recorded import of_record
from standtrue.show.pictures.as_measured import as_measured
from standtrue.show.sheets.record.page import CODE_MM, record_pdf
from standtrue.show.words.moments import clock_words, moment
from standtrue.show.words.reader import Reader
from standtrue.store.database import open_store
from standtrue.work.aim.aiming import judge_alignment
from standtrue.work.aim.floors import judge_floor
from standtrue.work.keep.answers import SHOP, keep_answer
from standtrue.work.keep.signing import sign
from standtrue.work.records.gathering import gather_record

VERSIONS = [
    (paper, units, language)
    for paper in ("letter", "a4") for units in ("us", "metric") for language in ("en", "es")
]  # fmt: skip
LONG = "replaced after a collision at the front, as the insurer's estimate of the second visit says"

LATER = Coded(code="of-a-later-release", values={})
"""What no sentence is known for: the one that was kept beside it is told."""


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> RecordAnswer:
    """A signed job, with the alignment and the floor checked by themselves."""
    folder = tmp_path_factory.mktemp("shop")
    place = str(folder / "kept.db")
    open_store(place, make=True).close()
    shop = write_shop(folder / "shop")
    _keep_checks(place, shop)
    sign(place, shop, JOB, "Person B", TOLD)
    return of_record(gather_record(place, JOB))


def _keep_checks(place: str, shop: Shop) -> None:
    from standtrue.show.answers.alignment import of_alignment
    from standtrue.show.answers.floor import of_floor

    (setup,) = shop.setups.values()
    alignment = judge_alignment(shop, setup)
    keep_answer(place, shop, JOB, said_of(of_alignment(alignment)), alignment.basis.marks, "Person A")
    floor = judge_floor(shop, next(iter(shop.surveys.values())), None, None, None)
    keep_answer(place, shop, SHOP, said_of(of_floor(floor)), floor.basis.marks, "Person A")


def largest(record: RecordAnswer) -> RecordAnswer:
    """A job for every sensor that there is, at both sides: every other one dropped for a long reason, signed thrice."""
    assert record.needs is not None
    first = record.needs.needs[0]
    needs: list[NeedShape] = []
    for kind in SENSORS:
        for side in ("left", "right") if "corner" in kind.name or kind.name == "adaptive headlamp" else (None,):
            reasons = [f"{LONG}, reason{len(needs)}x{n}" for n in range(6)]
            by = f"technician {len(needs)}"
            dropped = Overruled(verdict="drop", because=LONG, by=by, on="2026-03-02") if len(needs) % 2 else None
            new = {
                "sensor": kind.name,
                "side": side,
                "because": reasons,
                "because_coded": [LATER],
                "overruled": dropped,
            }
            needs.append(first.model_copy(update=new))
    signed = [SignedKept.model_validate({**dict(one), "number": 90 + n}) for n in range(3) for one in record.signed]
    return record.model_copy(update={
        "needs": record.needs.model_copy(update={"needs": needs}), "signed": signed,
        "missing": [f"{LONG} ({n})" for n in range(12)], "missing_coded": [LATER],
    })  # fmt: skip


def printed(record: RecordAnswer, folder: Path, paper: PaperSize, reader: Reader) -> list[str]:
    got = read(folder, record_pdf(record, {}, paper, reader))
    assert overlapping(got.words()) == []
    assert all(word.size_pt > 8.99 for word in got.words() if word.x1 - word.x0 > word.y1 - word.y0)
    return [squeezed(page) for page in got.run("pdftotext", "-raw").split("\f")[:-1]]


@pytest.mark.parametrize(("paper", "units", "language"), VERSIONS)
def test_the_customers_page_is_one_page_whatever_the_job(
    kept: RecordAnswer, tmp_path: Path, paper: PaperSize, units: System, language: Language
) -> None:
    reader = Reader(units, language)
    for record in (kept, largest(kept)):
        pages = printed(record, tmp_path, paper, reader)
        assert record.digest in pages[0]
        for last_line in (squeezed(reader.say("For the shop")), squeezed(clock_words(record.entries[-1].at, reader))):
            assert last_line in pages[0]
            assert not pages[1].startswith(last_line)
        behind = squeezed("".join(pages[1:]))
        for need in record.needs.needs if record.needs is not None else ():
            for why in need.because if record is not kept else ():
                assert why.split()[-1] in behind, "what page 1 has no room for stands behind it"


def test_a_telephone_reads_the_digest_off_a_page_of_100_dots_an_inch(kept: RecordAnswer, tmp_path: Path) -> None:
    both: tuple[PaperSize, ...] = ("letter", "a4")
    for job, papers in ((JOB, both), ("größter " * 40, both[:1])):
        for paper in papers:
            file = tmp_path / f"{paper}.pdf"
            file.write_bytes(record_pdf(kept.model_copy(update={"job": job}), {}, paper, Reader("us")))
            name, digest, how = qr_oracle.text_of(file, CODE_MM).split("\n")
            assert job.startswith(name)
            assert len(name) >= min(len(job), 18)
            assert digest == f"SHA-256 {kept.digest}"
            assert how.startswith("standtrue verify")


def test_a_code_with_modules_too_small_to_be_copied_is_refused() -> None:
    with pytest.raises(ValueError, match="characters need"):
        qr_picture("x" * 400, CODE_MM, "a code")


def test_moments_are_told_by_the_shops_clock_and_its_zone_is_named(kept: RecordAnswer, tmp_path: Path) -> None:
    chicago = Reader("us", zone="America/Chicago")
    # 2026: daylight saving time in Chicago from March 8 to November 1 (15 U.S.C. 260a).
    assert moment("2026-03-04T17:29:00.123Z", chicago) == "Wednesday, March 4, 11:29 a.m., 2026"
    assert moment("2026-07-04T17:29:00Z", chicago) == "Saturday, July 4, 12:29 p.m., 2026"
    assert moment("2026-03-04T17:29:00", chicago) == "Wednesday, March 4, 5:29 p.m., 2026", "the shop's own already"
    assert clock_words("2026-07-04T17:29:00Z", chicago) == "Times are by the shop's clock: America/Chicago (UTC-05:00)."
    assert "names no time zone" in clock_words("2026-07-04T17:29:00Z", Reader("us"))
    assert "names no time zone" in clock_words("2026-07-04T17:29:00Z", Reader("us", zone="Nowhere/There"))
    assert kept.needs is not None
    assert kept.needs.job is not None
    order = kept.needs.job.model_copy(update={"time_zone": "Pacific/Kiritimati"})
    there = kept.model_copy(update={"needs": kept.needs.model_copy(update={"job": order})})
    (first, *_), last = printed(there, tmp_path, "letter", Reader("us")), there.entries[-1]
    assert squeezed(moment(last.at, evolve(chicago, zone="Pacific/Kiritimati"))) in first
    assert "(UTC+14:00)" in first


def test_a_check_by_itself_stands_there_with_its_figures(kept: RecordAnswer, tmp_path: Path) -> None:
    text = "".join(printed(kept, tmp_path, "letter", Reader("us"))).replace("\n", "")
    for said in ("totaltoerear0.18°,knownto", "0.00°to0.30°intolerance", "Thefloor:hallfloor,winter",
                 "DIN18202table3row3(forcomparison)"):  # fmt: skip
        assert said in text, said
    assert not kept.model_copy(update={"floors": []}).floors
    elsewhere = kept.needs.job.model_copy(update={"site": "Another"}) if kept.needs and kept.needs.job else None
    assert elsewhere is not None


def test_the_picture_shows_where_the_target_stood_and_is_left_out_where_nobody_kept_that(kept: RecordAnswer) -> None:
    (one,) = kept.measured
    near = as_measured(one.answer, "as measured", Reader("us"))
    assert near is not None
    assert [d.text for d in near.dimensions] == ["8 ft 10 5/16 in"], "as the tape read it, reading 9"
    assert "ahead of the front end" in near.told
    old = one.answer.targets[0].model_copy(update={"stood": None})
    assert as_measured(one.answer.model_copy(update={"targets": [old]}), "", Reader("us")) is None
