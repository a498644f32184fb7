"""Letters are said to be as wide in a paper as they are in its fonts (ISO 14289-1, 7.21.5).

WeasyPrint 70 takes the width of each letter as it was measured where it is drawn first. In a drawing in
metres, where letters are a fraction high, that is off by some thousandths, for the whole paper.
"""

from io import BytesIO
from typing import Any

from fontTools.ttLib import TTFont
from weasyprint.pdf import stream
from weasyprint.pdf.fonts import Font


class _Widths(dict[int, int]):
    """Thousandths by letter: the font's own, whatever was measured, as far as it has that letter."""

    def __init__(self, file_content: bytes, index: int) -> None:
        font = TTFont(BytesIO(file_content), fontNumber=index, lazy=True)
        # Of a font whose letters come in all weights, the file has only one.
        usable = "hmtx" in font and "fvar" not in font
        self._own = _advances(font) if usable else []

    def __setitem__(self, glyph: int, measured: int) -> None:
        super().__setitem__(glyph, self._own[glyph] if glyph < len(self._own) else measured)


def _advances(font: TTFont) -> list[int]:
    """Of each letter; the last one written stands for all that follow."""
    written, many = font.getTableData("hmtx"), font["hhea"].numberOfHMetrics
    scale = 1000 / font["head"].unitsPerEm
    own: list[int] = [
        round(scale * int.from_bytes(written[4 * at : 4 * at + 2], "big")) for at in range(many)
    ]
    own += own[-1:] * (int(font["maxp"].numGlyphs) - many)
    return own


class _Font(Font):  # type: ignore[misc]
    """A font that knows how wide its letters are."""

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        if not self.bitmap:
            self.widths = _Widths(self.file_content, self.index)


def from_the_fonts() -> None:
    """Let every paper that is made from now on say so."""
    stream.Font = _Font
