"""From a template and its context to the bytes of a PDF.

A paper is made of nothing but what is handed in. Whatever a template, a style sheet or a picture asks
for by address is looked up among the given pictures; a file, a host or a data address is refused, so
that text which people type can never make the shop's machine read or call anything.
"""

import functools
import re
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.template.loader import render_to_string
from weasyprint import CSS, HTML
from weasyprint.document import Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

SCHEME = "paper:"
END_OF_CONTENT = "end"
VARIANT = "pdf/ua-1"
_PX_PER_MM = 96 / 25.4

# WeasyPrint 70 breaks a line after its first word when all of it fits but the blank behind it does not.
_BLANKS_BEFORE_A_BLOCK = re.compile(
    r"\s+(?=</?(?:p|div|ul|ol|li|dl|dt|dd|h[1-6]|table|t[rdh]|figure|figcaption)\b)"
)

# Pango's font map is not safe to share between threads, and the shared one is what makes printing quick.
_one_at_a_time = threading.Lock()


class Refused(ValueError):
    """Something asked for an address that was not handed in."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture or font in memory, known to the paper by its name only."""

    content: bytes
    media_type: str


def svg(markup: str) -> Picture:
    """An SVG drawing as a picture."""
    return Picture(markup.encode(), "image/svg+xml")


def jpeg(content: bytes) -> Picture:
    """A photo as a picture."""
    return Picture(content, "image/jpeg")


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


@functools.cache
def _font_configuration() -> FontConfiguration:
    return FontConfiguration()


@functools.cache
def _fonts() -> dict[str, Picture]:
    folder = Path(settings.BASE_DIR) / "static" / "fonts"
    return {path.name: Picture(path.read_bytes(), "font/woff2") for path in sorted(folder.glob("*.woff2"))}


@functools.cache
def _style_sheet(name: str) -> CSS:
    """A style sheet of static/css/papers, parsed once for the life of the process."""
    path = Path(settings.BASE_DIR) / "static" / "css" / "papers" / f"{name}.css"
    return CSS(
        string=path.read_text(encoding="utf-8"),
        base_url=SCHEME,
        url_fetcher=OnlyGiven(_fonts()),
        font_config=_font_configuration(),
    )


def lay_out(
    template: str,
    context: Mapping[str, object],
    *,
    style_sheets: Sequence[str],
    pictures: Mapping[str, Picture],
) -> Document:
    """The template laid out on its pages, not yet written."""
    return lay_out_markup(
        render_to_string(template, dict(context)), style_sheets=style_sheets, pictures=pictures
    )


def lay_out_markup(html: str, *, style_sheets: Sequence[str], pictures: Mapping[str, Picture]) -> Document:
    """A whole HTML document laid out on its pages."""
    with _one_at_a_time:
        return HTML(
            string=_BLANKS_BEFORE_A_BLOCK.sub("", html), base_url=SCHEME, url_fetcher=OnlyGiven(pictures)
        ).render(
            font_config=_font_configuration(),
            stylesheets=[_style_sheet(name) for name in ("fonts", *style_sheets)],
            pdf_variant=VARIANT,
        )


def write(document: Document, *, foot_mm: float | None = None) -> bytes:
    """The document as a tagged PDF with its fonts inside.

    With `foot_mm` the first page is cut that many millimetres below the element with the id `end`,
    for a continuous label as long as its content.
    """
    with _one_at_a_time:
        if foot_mm is not None:
            first = document.pages[0]
            first.height = first.anchors[END_OF_CONTENT][1] + foot_mm * _PX_PER_MM
        return bytes(document.write_pdf(pdf_variant=VARIANT))
