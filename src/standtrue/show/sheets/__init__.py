"""Answers on paper: a folder a sheet, with the template that sets it."""

from standtrue.draw.backends.pdf import PAPER_SIZES as PAPER_SIZES
from standtrue.draw.backends.pdf import PaperSize as PaperSize
