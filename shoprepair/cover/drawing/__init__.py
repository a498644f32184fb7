"""Footprints over each other and the new damage on them, to scale: rolled out, and on the whole drawing."""

from shoprepair.cover.drawing.flat_sheet import unrolled
from shoprepair.cover.drawing.on_planform import on_planform

__all__ = ["on_planform", "unrolled"]
