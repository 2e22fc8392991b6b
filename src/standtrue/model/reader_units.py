"""What a reader can choose: units of measure, language, paper. How figures are written is `show.words.quantities`."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

System = Literal["metric", "us"]
Language = str
"""The code of a language of ISO 639, such as `en`. Which ones there are, the catalogs say."""

Paper = Literal["letter", "a4"]

INCH_M = Fraction(254, 10000)
"""An inch, exactly (international yard and pound agreement of 1959)."""
