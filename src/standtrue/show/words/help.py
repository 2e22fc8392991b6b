"""What every command, argument and option does, as the help tells it."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.show.words.catalog import N_

ABOUT = N_("What must be calibrated on a car, and where in the shop it can stand for it.")

STOPPING = N_("Stopping: what is known by now will be told. Press again to stop at once.")
STOPPED = N_("Stopped.")

COMMANDS: Mapping[str, str] = {
    "new": N_("Start your own shop: write a small commented folder."),
    "demo": N_("Look at an invented shop: its documents, one job's plan, pictures, a page."),
    "read": N_("Read a shop folder: what is in it, and what is wrong."),
    "rules": N_("Write the default rules into a shop folder, to change them there."),
    "card": N_("The life of cards: how far each is to be trusted, a second reading, editions side by side."),
    "mix": N_("Make a car mix, and documents of its cars, from a table. Rows that cannot be meant are set aside."),
    "set": N_("Set your units, language and paper, who you are and your store, once for all commands."),
    "import": N_("Take a shop folder's documents into its store: what is new, changed or removed, as versions."),
    "export": N_("Write a store's documents into a folder, as they were written."),
    "history": N_("Every version of the documents in a store: who saved it, when, and what became of it."),
    "keep": N_("Keep a scan, photos, files or a note with a job."),
    "sign": N_("Sign a job off by name: refused while anything that it would cover is not decided."),
    "verify": N_("Prove the record, or one job of it that was handed out: what was altered, lost or moved is named."),
    "records": N_("Look for jobs in the record by words and days; read one, or hand it out."),
    "record": N_("A job's record as PDF: a page that the customer reads, and the proof behind it."),
    "backup": N_("Copy a store into one file, proven, while others go on writing."),
    "restore": N_("Make a store of a backup, proven, where there is none yet."),
    "move": N_("Move a store to a server, or back into a file; the chain stays as it is."),
    "remove": N_("Take a customer's data out of a store by the shop's rule; the chain is proven as before."),
    "anchor": N_("The head of the record as one line, to print and hand out daily."),
    "needs": N_("What a job's repairs call for, why, and in which order."),
    "job": N_("What must be calibrated and why, and where the car can stand for each."),
    "place": N_("Where a car can stand for its cards, or what stops it."),
    "drive": N_("How a car gets from one stance to another, or what is in the way."),
    "plan": N_("The whole order of work: each step's place, people, equipment and time, with every move."),
    "sheet": N_("A job's sheet as PDF: the order of work, and a page for each card to lay out and write on."),
    "targets": N_("Where a set-up's targets go, and which readings to take."),
    "measured": N_("What a set-up's readings say: in tolerance or not, and what to shift."),
    "floor": N_("How level and how flat a surveyed floor is."),
    "alignment": N_("Wheel alignment readings against the car's limits: do they stand against calibrating?"),
    "loads": N_("What a car puts on a lift, against what the lift may carry."),
    "reflector": N_("A radar reflector: its radar cross-section from its leg, or the leg from that; how it is aimed."),
    "study": N_("What share of a year's work a room can do, what stops the rest, and what would help."),
    "sizes": N_("How large a room must be for each car and card, and the least bay for a share of the work."),
    "ahead": N_("How far from each car a target can stand: ahead, behind and to each side."),
    "serve": N_("Serve the app from this machine: plan jobs, work through them at the car, sign."),
    "reach": N_("The old name of `ahead`, until the next release."),
}

OPTIONS: Mapping[str, str] = {
    "--as-of": N_(
        "Look at the shop as of this day and time, and let the clock run on from there; what is kept has true times."
    ),
    "--network": N_("Serve the shop's network, too: by TLS, and for whoever signed in."),
    "--host": N_("A name or an address by which other devices reach this machine; may be given several times."),
    "--certificate": N_("A certificate (PEM, with its chain) in place of one by the shop's own authority."),
    "--key": N_("The key of that certificate (PEM, without a password)."),
    "--port": N_("The port; where it is taken, the next free one, which is told."),
    "folder": N_("The shop folder: documents as .toml or .json files."),
    "--json": N_("Answer as one JSON object on standard output."),
    "--fail-on-no": N_("End with exit status 4 for a no, and with 5 where it cannot be told."),
    "--units": N_("metric or us: the units of tables and pictures. Once for all commands: standtrue set --units us."),
    "--language": N_("en or es: the language of all that is told. Once for all commands: standtrue set --language es."),
    "--job": N_("The job's name. May be left out if there is only one."),
    "--site": N_("The site's name."),
    "--bay": N_("A bay of the site: the car stays inside it."),
    "--vehicle": N_("The car's name."),
    "--procedure": N_("A card: NAME, or NAME/left for one side. May be given more than once."),
    "--support": N_('floor, "lift down" or "lift up". All that the cards allow if left out.'),
    "--region": N_("A heading, degrees: also answer every position that fits at it."),
    "--no-remedies": N_("Leave out what would make room where nothing fits: that takes longest."),
    "--reach": N_("Also whether the car can be driven there from a door."),
    "--door": N_("With --reach: from this door. Any if left out."),
    "--out": N_("Write into this file; its ending says what: the answer as .json. May be given more than once."),
    "--version": N_("Tell which version this is, and exit."),
    "--completion": N_("Print what bash, zsh, fish or powershell must read to complete commands, options and names."),
    "--from": N_(
        'x, y, heading, as in "17 ft, 7 ft 6 in, 90" (bare numbers: meters), with @LIFT/STATE; or door:NAME, bay:NAME '
        "or lift:NAME."
    ),
    "--to": N_("As for --from."),
    "--mode": N_("drive, push, or skates (they roll any way)."),
    "--alternatives": N_("Also what changes if the car stays in one bay, if part is sent out, and so on."),
    "--otherwise": N_('Tell this alternative as the plan, such as "one more person" or "on skates".'),
    "--why": N_("At length: every figure, every reason, and what was assumed."),
    "--checked": N_('"every": each reading is checked by others; "least": the fewest that decide. As the site says.'),
    "--setup": N_("The set-up's name. May be left out if there is only one."),
    "--survey": N_("The survey's name. May be left out if there is only one."),
    "--at": N_('A stance, as in "17 ft, 7 ft 6 in, 90": also how the car stands there. Bare numbers: meters.'),
    "--lift": N_("The lift's name in the site."),
    "--frequency": N_("The radar's frequency, GHz."),
    "--leg": N_('The trihedral\'s edge along the right angle: "80 mm", "3 1/4 in".'),
    "--distance": N_('How far the radar is from the reflector along the floor: "6 ft 6 in".'),
    "--higher": N_('How much higher the radar is than the reflector\'s corner; "-4 in" if it is lower.'),
    "--tip": N_("How far the reflector's base stands tipped, front down, degrees. As it should if left out."),
    "--turn": N_("How far the reflector is turned aside from the radar, degrees."),
    "--dbsm": N_("The radar cross-section that is asked, dBsm."),
    "--paper": N_("letter or a4. Once for all commands: standtrue set --paper a4."),
    "--clear": N_("Forget what was set before."),
    "--plan": N_(
        "With the whole order of work and its moves, every stance by that. If left out: where more than "
        "one step needs a place."
    ),
    "--study": N_("The study's name. May be left out if there is only one."),
    "--places": N_("Also count from how many places each order is served. Takes longer."),
    "--date": N_("The date on the sheet, as you write it. Today if left out."),
    "--mix": N_("A car mix as the work instead: each car at each of its cards."),
    "--rule": N_("Where the lift stands: centered, or as far from the end wall as today."),
    "--widest": N_("The widest room looked at, as `9 m` or `30 ft`."),
    "--longest": N_("The longest room looked at."),
    "--equipment": N_("The site's equipment that is to stand there. A plain square if none."),
    "action": N_(
        "list: every card and what it counts as. blank: a form for a second reading. second: that reading against the "
        "card. compare, supersede: an older and a newer edition. planned: the job remembers its editions."
    ),
    "cards": N_("The card; of two editions the older one first."),
    "--reading": N_("What the second person typed from the source."),
    "file": N_("The table, as CSV with a heading line."),
    "--name": N_("The mix's name."),
    "--column": N_(
        "What a column means: FIELD=HEADING or FIELD=HEADING:UNIT; a name of several: name=MAKER+MODEL. "
        "May be repeated."
    ),
    "--unit": N_("The unit of bare lengths: m, cm, mm, ft or in."),
    "--answer-last": N_("Tell the answer at the end, below the pictures."),
    "--store": N_(
        "The store that keeps the shop: a file, or postgresql://NAME@HOST/DATABASE. That of the folder if left out."
    ),
    "--files": N_("Read the folder's files, not its store."),
    "--by": N_("Who you are, for what is kept. Once for all commands: standtrue set --by NAME."),
    "--seen": N_(
        "KIND/NAME=VERSION: the file rests on this version. For a document that was changed in the store meanwhile, "
        "once you saw both. May be given more than once."
    ),
    "--unkept": N_("Do not keep this answer."),
    "--what": N_('"scan before", "scan after", photo, file or note.'),
    "--text": N_("What is to be said with it."),
    "--against": N_("An anchor, as text or a file: does the record begin with it? May be given more than once."),
    "words": N_("Words of the job: order number, plate, car, card, person, day."),
    "--kind": N_("Only documents of this kind."),
    "target": N_("The folder to write them into: a new one, or one that was written before."),
    "--demonstration": N_("Mark the documents as invented."),
}
"""By the option's longest spelling, or the argument's name."""

OWN: Mapping[tuple[str, str], str] = {
    ("demo", "folder"): N_("Where to write the demonstration shop."),
    ("new", "folder"): N_("Where to write the starter documents."),
    ("rules", "folder"): N_("The shop folder in which the rules shall count."),
    ("mix", "folder"): N_("The shop folder that the documents are written into."),
    ("keep", "file"): N_("The files. They are kept as they are, and never opened."),
    ("sign", "--by"): N_("Who signs."),
    ("verify", "folder"): N_("The shop folder, or a record that was handed out."),
    ("records", "--from"): N_("A day, as 2026-03-31 (UTC): only jobs with an entry on it or later."),
    ("records", "--to"): N_("A day: only jobs with an entry on it or before; with --from, on a day between them."),
    ("records", "--why"): N_("All that each entry says."),
    ("records", "--out"): N_("A new folder, or FILE.zip, for all of the job and its proof."),
    ("backup", "--out"): N_("The new file."),
    ("restore", "file"): N_("The backup."),
    ("restore", "target"): N_("A folder without a store, a new file, or postgresql://NAME@HOST/DATABASE."),
    ("move", "--to"): N_("postgresql://NAME@HOST/DATABASE, or a new file."),
    ("remove", "--because"): N_("Why: it is kept."),
    ("remove", "--keep-years"): N_("The shop's rule: a job is kept so many years after its last entry."),
    ("record", "--out"): N_("FILE.pdf for the record, .json for what it holds. May be given more than once."),
    ("records", "--against"): N_(
        "An anchor that the receiver has: the proof for it is put in. May be given more than once."
    ),
    ("history", "--name"): N_("Only the document of this name."),
    ("set", "--store"): N_("The store of folders that hold none: a file, or postgresql://NAME@HOST/DATABASE."),
    ("set", "--by"): N_("Your name, for what is kept."),
    ("sizes", "--site"): N_("Whose gaps, ceiling and equipment hold."),
    ("ahead", "--vehicle"): N_("A car; may be given more than once. All if left out."),
    ("floor", "--procedure"): N_("A card: also where the floor is level enough for it."),
    ("sizes", "--support"): N_('floor, "lift down" or "lift up". Any if left out.'),
    ("ahead", "--support"): N_('floor, "lift down" or "lift up". All if left out.'),
    **{
        (command, "--out"): N_("FILE.svg for the picture, .json for the answer. May be given more than once.")
        for command in ("drive", "targets", "floor")
    },
    **{
        (command, "--out"): N_(
            "FILE.svg for the picture, a file each for several answers; .json for the answer. May be given more than "
            "once."
        )
        for command in ("place", "job")
    },
    ("plan", "--out"): N_(
        "FILE.html for a page that plays the plan; .svg for it step by step, and FILE-time.svg for when it happens; "
        ".json for the answer. May be given more than once."
    ),
    ("sheet", "--out"): N_("FILE.pdf for the sheet, .json for what it holds. May be given more than once."),
    ("card", "--by"): N_("Who does it; of a second reading, who read it from the source."),
    ("card", "--out"): N_("With blank: the file of the form, outside the shop folder. Else FILE.json for the answer."),
    ("card", "--fail-on-no"): N_("End with exit status 4 where two editions differ, too."),
    ("measured", "--out"): N_(
        "FILE.svg for the picture, .pdf for the page of what was measured, .json for the answer. May be given more "
        "than once."
    ),
    ("study", "--out"): N_(
        "FILE.pdf for the adviser's sheet, a file each for several rooms; .csv or .parquet for every answer as a row; "
        ".json for the answer. May be given more than once."
    ),
    ("sizes", "--out"): N_(
        "FILE.svg for the chart, .csv for every least size, .json for the answer. May be given more than once."
    ),
    ("ahead", "--out"): N_("FILE.csv for the table, .json for the answer. May be given more than once."),
    ("mix", "--out"): N_(
        "FILE.csv for the rows that were set aside, .json for the answer. May be given more than once."
    ),
    ("sheet", "--otherwise"): N_('With this alternative as the plan, such as "one more person".'),
    ("sizes", "--lift"): N_("A lift of the site that stands in the room. None if left out."),
    ("sizes", "--study"): N_("The study whose repair orders are the work, if there are several."),
}
"""Where one command means something of its own by an option."""

GROUPS: Mapping[str, tuple[str, ...]] = {
    N_("The shop"): ("new", "demo", "read", "rules", "card", "mix", "set", "serve"),
    N_("The record"): (
        "import",
        "export",
        "history",
        "keep",
        "sign",
        "verify",
        "records",
        "record",
        "anchor",
        "backup",
        "restore",
        "move",
        "remove",
    ),
    N_("One job"): ("needs", "job", "place", "drive", "plan", "sheet"),
    N_("At the car"): ("targets", "measured", "floor", "alignment", "loads", "reflector"),
    N_("A year"): ("study", "sizes", "ahead"),
}
"""The commands under the headings of the help, in the order in which they are told."""

ALIASES: Mapping[str, str] = {"reach": "ahead"}
"""Commands by their old names."""

PROGRAM_WORDS: tuple[str, ...] = (
    N_("Options"),
    N_("Arguments"),
    N_("Commands"),
    N_("Error"),
    N_("Aborted."),
    N_("Aborted!"),
    N_("[required]"),
    N_("[default: {}]"),
    N_("(deprecated) "),
    N_("required"),
    N_("default: {default}"),
    N_("Try [blue]'{command_path} {help_option}'[/] for help."),
    N_("Missing command."),
    N_("No such command {name!r}."),
)
"""What the library that reads the command line says by itself."""


def is_about_shop(command: str) -> bool:
    """Whether a command is about the shop of a folder, wherever that is kept: then it takes --store, --files, --by."""
    return command not in APART


ANSWERS_KEPT = ("needs", "job", "plan", "sheet", "targets", "measured", "floor", "alignment")
"""Whose answers a shop in a store keeps, unless --unkept says otherwise."""

APART = ("new", "demo", "rules", "set", "reflector", "restore")


def help_of(command: str, option: str) -> str:
    """What an option or argument of a command does. Raises KeyError for one that is not told here."""
    found = OWN.get((ALIASES.get(command, command), option))
    return OPTIONS[option] if found is None else found
