"""From an order to the bytes of a PDF. This alone loads WeasyPrint, and never in the shop's own process.

Whatever markup, a style sheet or a picture asks for by address is looked up among the pictures of the
order; a file, a host or a data address is refused, so that text which people type can never make the
shop's machine read or call anything.
"""

import functools
import re
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from xml.etree import ElementTree

from cssselect2 import ElementWrapper
from weasyprint import CSS, HTML
from weasyprint.document import Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

from shoprepair.papers.printing import widths
from shoprepair.papers.printing.order import Order, Picture

widths.from_the_fonts()

SCHEME = "paper:"
END_OF_CONTENT = "end"
VARIANT = "pdf/ua-1"
STATIC = Path(__file__).resolve().parents[3] / "static"
SHEETS = STATIC / "css" / "papers"
_PX_PER_MM = 96 / 25.4

# WeasyPrint 70 breaks a line after its first word when all of it fits but the blank behind it does not.
_BLANKS_BEFORE_A_BLOCK = re.compile(
    r"\s+(?=</?(?:p|div|ul|ol|li|dl|dt|dd|h[1-6]|table|t[rdh]|figure|figcaption|title)\b)|(?<=<title>)\s+"
)
_VOID = re.compile(r"<(br|col|hr|img|link|meta|wbr)\b([^>]*?)/?>")


class Refused(ValueError):
    """Something asked for an address that was not handed in."""


class _Paper(HTML):  # type: ignore[misc]
    """A document without footnotes, whose marks would cost each of its elements five styles."""

    def _ua_stylesheets(self, forms: bool = False) -> list[CSS]:
        del forms
        return [_usual_style_sheet()]


class OnlyGiven(URLFetcher):  # type: ignore[misc]
    """Serves the given pictures under `paper:name` and refuses every other address."""

    def __init__(self, pictures: Mapping[str, Picture]) -> None:
        super().__init__(allowed_protocols=(), allow_redirects=False)
        self._pictures = pictures

    def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
        """The picture of that name; `Refused` for anything else."""
        del headers
        picture = self._pictures.get(url.removeprefix(SCHEME)) if url.startswith(SCHEME) else None
        if picture is None:
            raise Refused(f"A paper never reaches for {url[:80]!r}.")
        return URLFetcherResponse(url, picture.content, {"Content-Type": picture.media_type})


def made(order: Order) -> bytes:
    """The paper as a tagged PDF with its fonts inside."""
    document = _laid_out(order)
    if order.foot_mm is not None:
        first = document.pages[0]
        first.height = first.anchors[END_OF_CONTENT][1] + order.foot_mm * _PX_PER_MM
    return bytes(document.write_pdf(pdf_variant=VARIANT))


def _laid_out(order: Order) -> Document:
    """In the first layout that fits the pages it may fill, else in the last."""
    html = _read(_BLANKS_BEFORE_A_BLOCK.sub("", order.markup), OnlyGiven({**_own(), **order.pictures}))
    body = html.etree_element.find("body")
    own = body.get("class", "")
    sheets = [_style_sheet(name) for name in ("fonts", *order.style_sheets)]
    pictures: dict[str, object] = {}
    for classes, most in order.layouts:
        body.set("class", f"{own} {classes}")
        document = html.render(
            font_config=_font_configuration(), stylesheets=sheets, pdf_variant=VARIANT, cache=pictures
        )
        if len(document.pages) <= most:
            break
    return document


def _read(markup: str, fetcher: OnlyGiven) -> HTML:
    """The document. What our templates write is XML but for tags that nobody ends, and is read as such.

    Reading HTML letter by letter takes a tenth of a paper's time; it is left for what is no XML.
    """
    try:
        root = ElementTree.fromstring(_VOID.sub(r"<\1\2/>", markup.strip()))  # noqa: S314 - our own markup
    except ElementTree.ParseError:
        return _Paper(string=markup, base_url=SCHEME, url_fetcher=fetcher)
    html = _Paper(string="", base_url=SCHEME, url_fetcher=fetcher)
    html.wrapper_element = ElementWrapper.from_html_root(root, content_language=None)
    html.etree_element = root
    return html


@functools.cache
def _usual_style_sheet() -> CSS:
    """How elements look by themselves, as WeasyPrint has it, less the marks of footnotes."""
    usual = (files("weasyprint") / "css" / "html5_ua.css").read_text(encoding="utf-8")
    return CSS(string=re.sub(r"(?m)^::(?:footnote|note)-.*$", "", usual))


@functools.cache
def _font_configuration() -> FontConfiguration:
    return FontConfiguration()


@functools.cache
def _fonts() -> dict[str, Picture]:
    folder = STATIC / "fonts"
    return {path.name: Picture(path.read_bytes(), "font/woff2") for path in sorted(folder.glob("*.woff2"))}


@functools.cache
def _own() -> dict[str, Picture]:
    """Pictures of static/css/papers, which style sheets ask for by their names."""
    return {
        path.name: Picture(path.read_bytes(), media_type)
        for ending, media_type in (("png", "image/png"), ("svg", "image/svg+xml"))
        for path in sorted(SHEETS.glob(f"*.{ending}"))
    }


@functools.cache
def _style_sheet(name: str) -> CSS:
    """A style sheet of static/css/papers, parsed once for the life of the process."""
    return CSS(
        string=(SHEETS / f"{name}.css").read_text(encoding="utf-8"),
        base_url=SCHEME,
        url_fetcher=OnlyGiven(_fonts()),
        font_config=_font_configuration(),
    )
