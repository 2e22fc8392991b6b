"""The figure of the single bay's study: for each card, and each way to stand, how many cars fit. Plain SVG."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

# Okabe and Ito, "Color Universal Design", 2008: safe for color-blind readers. Fills and figures say it too.
BLUE, ORANGE, INK = "#0072B2", "#E69F00", "#000000"
LEFT, RIGHT, TOP, BAR, ROW = 290, 900, 96, 9, 40
FILLS = (BLUE, "url(#dots)", "url(#hatch)")

PATTERNS = (
    '<defs><pattern id="dots" width="6" height="6" patternUnits="userSpaceOnUse">'
    f'<rect width="6" height="6" fill="#FFFFFF"/><circle cx="3" cy="3" r="1.6" fill="{BLUE}"/></pattern>'
    '<pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse">'
    f'<rect width="6" height="6" fill="#FFFFFF"/><path d="M0,6L6,0" stroke="{ORANGE}" stroke-width="2.2"/></pattern>'
    "</defs>"
)


def draw(cards: Sequence[str], bars: Sequence[str], counts: Mapping[tuple[str, str], int], of: int) -> str:
    """One group of bars for each card, a bar for each way to stand, with its figure."""
    height = TOP + ROW * len(cards) + 46
    told = " ".join(f"{key}: {', '.join(f'{counts[bar, key]} {bar}' for bar in bars)}." for key in cards)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1000 {height}" role="img" '
        'aria-labelledby="title desc" font-family="sans-serif" font-size="14">',
        f'<title id="title">How many of {of} cars fit for each card in a bay of 16 ft by 30 ft</title>',
        f'<desc id="desc">{told}</desc>',
        PATTERNS,
        f'<rect width="1000" height="{height}" fill="#FFFFFF"/>',
        _text(24, 34, f"How many of {of} cars fit in a bay of 16 ft x 30 ft (4.88 m x 9.14 m)", 18),
        _text(24, 55, "A flush lift 3 ft from the door, a pit between its decks", 13),
    ]
    x = LEFT
    for bar, fill in zip(bars, FILLS, strict=True):
        lines += [f'<rect x="{x}" y="68" width="26" height="12" fill="{fill}" stroke="{INK}"/>', _text(x + 34, 79, bar)]
        x += 220
    for share in range(0, of + 1, 31):
        at = _x(share, of)
        lines.append(f'<line x1="{at:g}" y1="{TOP - 6}" x2="{at:g}" y2="{height - 40}" stroke="#BBBBBB"/>')
        lines.append(_text(at, height - 22, str(share), anchor="middle"))
    for number, key in enumerate(cards):
        y = TOP + ROW * number
        lines.append(_text(LEFT - 10, y + 20, key, anchor="end"))
        for i, (bar, fill) in enumerate(zip(bars, FILLS, strict=True)):
            count, top = counts[bar, key], y + i * (BAR + 2)
            box = f'x="{LEFT}" y="{top}" width="{_x(count, of) - LEFT:g}" height="{BAR}"'
            lines.append(f'<rect {box} fill="{fill}" stroke="{INK}" stroke-width="0.7"/>')
            lines.append(_text(_x(count, of) + 5, top + BAR, str(count), 11))
    return "\n".join([*lines, "</svg>", ""])


def _x(count: int, of: int) -> float:
    return LEFT + (RIGHT - LEFT) * count / of


def _text(x: float, y: float, words: str, size: int = 14, anchor: str = "start") -> str:
    return f'<text x="{x:g}" y="{y:g}" font-size="{size}" text-anchor="{anchor}" fill="{INK}">{words}</text>'
