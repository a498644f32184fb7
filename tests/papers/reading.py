"""A printed paper read back from outside: by poppler as text, structure and pixels, by a QR reader."""

import html
import io
import re
import subprocess
from typing import NamedTuple

import zxingcpp
from PIL import Image

FULL_DPI = 200


def _poppler(tool: str, *options: str, pdf: bytes) -> bytes:
    return subprocess.run([tool, *options], input=pdf, capture_output=True, check=True).stdout


def text(pdf: bytes) -> str:
    """All text, blanks of every kind as one blank."""
    return " ".join(_poppler("pdftotext", "-layout", "-", "-", pdf=pdf).decode().split())


def lines(pdf: bytes) -> list[str]:
    """The text line by line, without empty ones."""
    said = _poppler("pdftotext", "-layout", "-", "-", pdf=pdf).decode().splitlines()
    return [line.strip() for line in said if line.strip()]


def pages(pdf: bytes) -> list[str]:
    """The text page by page."""
    said = _poppler("pdftotext", "-layout", "-", "-", pdf=pdf).decode()
    return [" ".join(page.split()) for page in said.split("\f")[:-1]]


def aloud(pdf: bytes) -> str:
    """The text in the order in which a screen reader says it, from the tags."""
    said = _poppler("pdfinfo", "-struct-text", "-", pdf=pdf).decode()
    return " ".join(" ".join(re.findall(r'^\s*"(.*)"$', said, flags=re.MULTILINE)).split())


def facts(pdf: bytes) -> dict[str, str]:
    """What pdfinfo says: Title, Pages, Page size, Tagged …"""
    lines = _poppler("pdfinfo", "-", pdf=pdf).decode().splitlines()
    return {name: value.strip() for name, _, value in (line.partition(":") for line in lines)}


def size_mm(pdf: bytes) -> tuple[int, int]:
    """Width and height of the first page."""
    width, height = re.match(r"([0-9.]+) x ([0-9.]+)", facts(pdf)["Page size"]).groups()
    return round(float(width) / 72 * 25.4), round(float(height) / 72 * 25.4)


def fonts(pdf: bytes) -> dict[str, bool]:
    """Name of each font, without its subset's mark, and whether it lies inside the file."""
    rows = [line.split() for line in _poppler("pdffonts", "-", pdf=pdf).decode().splitlines()[2:]]
    return {row[0].partition("+")[2]: row[-5] == "yes" for row in rows}


def picture(pdf: bytes, page: int = 1, dpi: int = FULL_DPI) -> Image.Image:
    """A page as a grey printer would print it."""
    options = ["-r", str(dpi), "-f", str(page), "-l", str(page), "-gray", "-png"]
    return Image.open(io.BytesIO(_poppler("pdftoppm", *options, pdf=pdf))).convert("L")


def qr_codes(pdf: bytes, page: int = 1, dpi: int = FULL_DPI) -> list[str]:
    """What a QR reader sees on a page of that many dots an inch."""
    return [code.text for code in zxingcpp.read_barcodes(picture(pdf, page, dpi))]


class Word(NamedTuple):
    """A word where it stands on its page, in points from the upper left."""

    text: str
    page: int
    box: tuple[float, float, float, float]

    @property
    def points(self) -> float:
        """Size of its letters, from the height of its line: the lowest of what the fonts of papers have."""
        return (self.box[3] - self.box[1]) / _LINE_OVER_SIZE


_LINE_OVER_SIZE = 1.3
"""Of the shop's font; of the one that stands in for other letters it is less."""
_WORD = re.compile(
    r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>|(<page )'
)


def words(pdf: bytes) -> list[Word]:
    """Every word with its place."""
    said = _poppler("pdftotext", "-bbox", "-", "-", pdf=pdf).decode()
    found, page = [], 0
    for *box, word, new in _WORD.findall(said):
        page += bool(new)
        if not new:
            found.append(Word(html.unescape(word), page, tuple(map(float, box))))
    return found
