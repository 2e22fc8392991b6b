"""The commands of the record: bring something to a job, sign it off, prove it, look things up, hand a job out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.files import ANSWER, asked_files, one
from standtrue.cli.interrupt import unbroken
from standtrue.cli.options import FolderArg, JobOpt, JsonOpt, PaperOpt, WhyOpt
from standtrue.cli.reader import paper_for, reader
from standtrue.cli.where import by, open_shop, where
from standtrue.show.answers.keep import of_brought
from standtrue.show.answers.kept import said_of
from standtrue.show.answers.measured import of_measured
from standtrue.show.answers.needs import of_needs
from standtrue.show.answers.parts import Shape
from standtrue.show.answers.recorded import of_record
from standtrue.show.answers.records import of_anchor, of_job_record, of_looked, of_verified
from standtrue.show.answers.sign import of_signed
from standtrue.show.sheets.record.page import MOST_BYTES, photo_digests, record_pdf
from standtrue.show.words.kept import content_words
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.records import (
    anchor_blocks,
    handed_blocks,
    handed_words,
    job_blocks,
    kept_blocks,
    looked_blocks,
    record_blocks,
    recorded_blocks,
    verified_blocks,
)
from standtrue.work.keep.files import keep_files, no_store
from standtrue.work.keep.signing import sign as sign_off
from standtrue.work.records.checking import check_handed_out, is_handed_out
from standtrue.work.records.exporting import hand_out
from standtrue.work.records.gathering import gather_record, read_whole
from standtrue.work.records.searching import look_for, read_job
from standtrue.work.records.verifying import head_of, verify_store

AgainstOpt = Annotated[list[str] | None, typer.Option("--against", metavar="ANCHOR")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    for command in (keep, sign, verify, records, record, anchor):
        app.command()(command)


def keep(
    folder: FolderArg,
    what: Annotated[str, typer.Option("--what", metavar="WHAT")],
    file: Annotated[list[Path] | None, typer.Argument()] = None,
    job: JobOpt = None,
    text: Annotated[str, typer.Option("--text")] = "",
    json: JsonOpt = False,
) -> None:
    """Keep a scan, photos, files or a note with a job."""
    shop = open_shop(folder)
    with unbroken():
        brought, kept = keep_files(
            where().place(folder), shop, job, what, file or (), text, by(), lambda one: said_of(of_brought(one))
        )
    if json:
        _print(of_brought(brought))
    else:
        output.show(kept_blocks(kept, reader(shop)))


def sign(
    folder: FolderArg,
    who: Annotated[str, typer.Option("--by", metavar="NAME")],
    job: JobOpt = None,
    json: JsonOpt = False,
) -> None:
    """Sign a job off, by name; refused while anything that it would cover is not decided."""
    shop = open_shop(folder)
    told = (
        lambda one: said_of(of_needs(one)),
        lambda one: said_of(of_measured(one)),
        lambda one: said_of(of_signed(one)),
    )
    with unbroken():
        signed, kept = sign_off(where().place(folder), shop, job, who, told)
    if json:
        _print(of_signed(signed))
    else:
        output.show(kept_blocks(kept, reader(shop)))


def verify(folder: FolderArg, against: AgainstOpt = None, json: JsonOpt = False) -> None:
    """Prove the record of a store, or of one job that was handed out. Exits with status 4 where it is not whole."""
    handed_out = is_handed_out(folder)
    verified = check_handed_out(folder, against or ()) if handed_out else verify_store(place_of(folder), against or ())
    if json:
        _print(of_verified(verified))
    else:
        output.show(verified_blocks(verified, reader()))
    output.end(no=bool(verified.wrong), unsure=False)


def records(
    folder: FolderArg,
    words: Annotated[list[str] | None, typer.Argument()] = None,
    first: Annotated[str, typer.Option("--from", metavar="DAY")] = "",
    last: Annotated[str, typer.Option("--to", metavar="DAY")] = "",
    job: JobOpt = None,
    out: Annotated[Path | None, typer.Option("--out", metavar="FOLDER|FILE.zip")] = None,
    against: AgainstOpt = None,
    why: WhyOpt = False,
    json: JsonOpt = False,
) -> None:
    """Look for jobs in the record, by words and days; with --job read one, and with --out hand it out."""
    place, who = place_of(folder), reader()
    if job is None and out is None:
        looked = look_for(place, words or (), first, last)
        if json:
            _print(of_looked(looked))
        else:
            output.show(looked_blocks(looked, who))
        return
    named = only_job(place, words or (), first, last) if job is None else job
    kept = read_job(place, named)
    handed = None
    if out is not None:
        with unbroken():
            handed = hand_out(place, named, out, against or ())
    if json:
        said = [content_words(one.entry.kind, one.entry.shape, one.content, ENGLISH) for one in kept]
        _print(of_job_record(tuple(zip(kept, said, strict=True)), handed))
    if handed is not None:
        output.tell(handed_words(handed, who))
    if not json:
        output.show(job_blocks(kept, who, why=why) if handed is None else handed_blocks(kept, who))


def record(
    folder: FolderArg,
    out: Annotated[list[Path], typer.Option("--out", metavar="FILE")],
    job: JobOpt = None,
    paper: PaperOpt = None,
    json: JsonOpt = False,
) -> None:
    """A job's record as PDF: a page that the customer reads, and the proof behind it."""
    files, place, who = asked_files(out, ".pdf"), place_of(folder), reader()
    kept = of_record(gather_record(place, job or only_job(place, ())))
    on = paper_for(paper)

    def made() -> bytes:
        return record_pdf(kept, read_whole(place, photo_digests(kept), MOST_BYTES), on, who)

    written = files.write({".pdf": one(made), ANSWER: one(lambda: output.json_text(kept.to_json()))}, who)
    if json:
        _print(kept)
    else:
        output.show(recorded_blocks(kept, who))
    output.tell_all(written)
    if not json:
        output.show(record_blocks(kept, who))
    output.end(no=not kept.whole, unsure=False)


def anchor(folder: FolderArg, json: JsonOpt = False) -> None:
    """The head of the log as one line, to print and hand out daily."""
    head = head_of(place_of(folder))
    if json:
        _print(of_anchor(head))
    else:
        output.show(anchor_blocks(head, reader()))


def only_job(place: str, words: Sequence[str], first: str = "", last: str = "") -> str:
    """The one job that these words and days find. Raises UnansweredError where they find none, or several."""
    from standtrue.work.ask import pick

    found = look_for(place, words, first, last).found
    return pick("job", None, {one.job: one.job for one in found if one.job}, "--job")


def place_of(folder: Path) -> str:
    """The store of a folder. Raises UnansweredError where there is none."""
    place = where().place(folder)
    if place is None:
        raise no_store()
    return place


def _print(answer: Shape) -> None:
    output.print_json(output.json_text(answer.to_json()))
