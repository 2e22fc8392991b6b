"""The page of each command in `docs/`: Markdown in US English, like all of `docs/`."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

LINES = 10
"""So many lines of an answer stand on its command's page."""


@frozen
class CommandPage:
    """What the page of a command shows: what is typed behind `standtrue`, and which file of it is its picture.

    `shop` is the folder of the demonstration shop. `readers` are who asks it, `more` are pages on it: title and path.
    """

    name: str
    typed: str
    readers: str
    more: tuple[tuple[str, str], ...] = ()
    picture: str = ""


_DESCRIBE = ("describe your own shop", "../how-to/describe-your-shop.md")
_PLAN = ("plan a job", "../how-to/plan-a-job.md")
_LAY_OUT = ("lay targets out, measure, and get an answer", "../how-to/lay-out-and-measure.md")
_NEEDS = ("how needs are found", "../explanation/needs.md")
_CARDS = ("keep cards", "../how-to/card.md")
_ROOM = ("find what a room can do", "../how-to/what-this-room-can-do.md")
_WAY = ("get the car there", "../how-to/get-the-car-there.md")

PAGES: tuple[CommandPage, ...] = (
    CommandPage("new", "new my-shop", "whoever starts", (_DESCRIBE,)),
    CommandPage("demo", "demo shop", "whoever starts", (("your first answer", "../tutorial/first-answer.md"),)),
    CommandPage("read", "read shop", "whoever describes the shop", (_DESCRIBE,)),
    CommandPage("rules", "rules my-rules", "whoever decides what calls for what", (_NEEDS,)),
    CommandPage("card", "card list shop", "whoever reads the maker's procedures", (_CARDS,)),
    CommandPage("mix", "mix cars.csv my-cars --unit in --demonstration", "adviser, analyst", (_ROOM,)),
    CommandPage("set", "set", "anyone at a keyboard", (("set it up", "../how-to/set-it-up.md"),)),
    CommandPage("needs", 'needs shop --job "nib windshield"', "adviser, foreman", (_NEEDS,)),
    CommandPage(
        "job",
        'job shop --job "nib windshield" --out job.svg',
        "adviser, foreman",
        (("how places are found", "../explanation/place.md"),),
        "job.svg",
    ),
    CommandPage(
        "place",
        'place shop --vehicle "Oskerra Nib" --procedure "forward camera board" --support floor --out place.svg',
        "adviser, foreman, technician",
        (("how places are found", "../explanation/place.md"),),
        "place.svg",
    ),
    CommandPage(
        "drive",
        'drive shop --vehicle "Tavlin Corrow" --from "door:long bay door" --to 9.8,4.7,90 --out drive.svg',
        "foreman, technician",
        (_WAY, ("how a way is found and proven", "../explanation/drive.md")),
        "drive.svg",
    ),
    CommandPage(
        "plan",
        'plan shop --job "nib windshield" --no-alternatives --out plan.svg',
        "foreman",
        (_PLAN, ("how the order is found", "../explanation/sequence.md")),
        "plan.svg",
    ),
    CommandPage("sheet", 'sheet shop --job "nib windshield" --no-plan --out job.pdf', "technician", (_LAY_OUT, _PLAN)),
    CommandPage(
        "targets",
        'targets shop --setup "corrow camera" --out targets.svg',
        "technician",
        (_LAY_OUT, ("what is computed", "../explanation/aim.md")),
        "targets.svg",
    ),
    CommandPage(
        "measured",
        'measured shop --setup "corrow camera, moved" --out measured.svg',
        "technician",
        (_LAY_OUT, ("what in tolerance is worth", "../explanation/aim.md")),
        "measured.svg",
    ),
    CommandPage("floor", "floor shop --out floor.svg", "technician, adviser", (_LAY_OUT,), "floor.svg"),
    CommandPage("alignment", 'alignment shop --setup "corrow camera"', "technician", (_LAY_OUT,)),
    CommandPage("loads", 'loads shop --vehicle "Tavlin Corrow" --lift "post lift"', "technician", ()),
    CommandPage("reflector", 'reflector --leg "80 mm"', "technician", (("what is computed", "../explanation/aim.md"),)),
    CommandPage("study", "study shop --no-places", "adviser, analyst", (_ROOM,)),
    CommandPage(
        "sizes",
        'sizes shop --study "a year at Tanbark Row" --out sizes.svg',
        "adviser, analyst",
        (_ROOM, ("how the chart is found", "../explanation/sizes.md")),
        "sizes.svg",
    ),
    CommandPage("ahead", 'ahead shop --vehicle "Tavlin Corrow"', "adviser", (_ROOM,)),
)
"""A page for each command on a shop folder that is not merely an old name of another."""

_STORE = ("keep a shop in a store", "../how-to/store.md")
_RECORD = ("hand out a job's record", "../how-to/record.md")
_BACKUP = ("copy a store, and take a customer's data out", "../how-to/backup.md")
_PROOF = ("what the proof is worth", "../explanation/record.md")
_APP = ("use the app", "../how-to/use-the-app.md")
_NIB = '--job "nib windshield"'

STORE_PAGES: tuple[CommandPage, ...] = (
    CommandPage("import", 'import shop --by "Person A"', "whoever describes the shop", (_STORE,)),
    CommandPage("export", "export shop documents", "whoever describes the shop", (_STORE,)),
    CommandPage("history", "history shop --kind job", "whoever keeps the papers", (_STORE,)),
    CommandPage(
        "keep",
        f'keep shop {_NIB} --what note --text "The glass was set at 9." --by "Person A"',
        "technician",
        (_RECORD,),
    ),
    CommandPage("sign", f'sign shop {_NIB} --by "Person B"', "technician", (_RECORD,)),
    CommandPage("verify", "verify shop", "whoever is asked years later", (_RECORD, _PROOF)),
    CommandPage("records", "records shop nib", "whoever is asked years later", (_RECORD,)),
    CommandPage("anchor", "anchor shop", "whoever keeps the papers", (_RECORD, _PROOF)),
    CommandPage("record", f"record shop {_NIB} --out record.pdf", "foreman, customer", (_RECORD, _PROOF)),
    CommandPage("backup", "backup shop --out copy.db", "whoever looks after the computer", (_BACKUP,)),
    CommandPage("restore", "restore copy.db again", "whoever looks after the computer", (_BACKUP,)),
    CommandPage("move", "move again --to moved.db", "whoever looks after the computer", (_BACKUP,)),
    CommandPage(
        "remove",
        f'remove shop {_NIB} --because "the customer asked" --keep-years 0 --by "Person B"',
        "whoever looks after the computer",
        (_BACKUP,),
    ),
    CommandPage("serve", "serve shop", "foreman, technician", (_APP,)),
)
"""A page for each command on a store, in the order in which they follow each other on one."""

CARS = "name,count,length,width,wheelbase,height\nTavlin Plover,30,180,71,105,58\nTavlin Heron,22,185,72,108,60\n"
"""The table of cars that `mix` is shown with, in inches."""


def command_page(page: CommandPage, asks: str, lines: Sequence[str]) -> str:
    """The page: what the command asks, who asks it, its first lines on the demonstration shop, its picture."""
    shown = [line.rstrip() for line in lines]
    cut = ["..."] if len(shown) > LINES else []
    parts = [
        f"# standtrue {page.name}",
        asks,
        f"For: {page.readers}.",
        "On the [demonstration shop](demo.md):",
        "\n".join(["```console", f"$ standtrue {page.typed}", *shown[:LINES], *cut, "```"]),
    ]
    if page.picture:
        parts.append(f"![{asks}](../pictures/commands/{page.picture})")
    more = ", ".join(f"[{title}]({path})" for title, path in page.more)
    options = f"[All options](../reference/commands.md#standtrue-{page.name})"
    parts.append(f"{options}. More: {more}." if more else f"{options}.")
    parts.append("[All commands](README.md)")
    return "\n\n".join(parts) + "\n"


def commands_index(groups: Sequence[tuple[str, Sequence[tuple[str, str]]]]) -> str:
    """The list of all commands by what they are for, each with what it asks."""
    parts = ["# Commands", "Each with what it asks, its first ten lines on the demonstration shop, and its picture."]
    for title, commands in groups:
        rows = [f"| [`{name}`]({name}.md) | {asks} |" for name, asks in commands]
        parts.append("\n".join([f"## {title}", "", "| | |", "|---|---|", *rows]))
    parts.append("[All arguments and options](../reference/commands.md). [All pages](../README.md).")
    return "\n\n".join(parts) + "\n"
