"""A PDF as an HTTP answer: shown by the browser, kept by nobody, able to do nothing."""

import re
import unicodedata
from urllib.parse import quote

from django.http import HttpResponse

_LONGEST_NAME = 120


def _plain(filename: str) -> str:
    """The name without anything that means something to a header, a folder or a reading direction."""
    visible = "".join(" " if unicodedata.category(mark)[0] in "CZ" else mark for mark in filename)
    stem = re.sub(r'[\\/:*?"<>|;%]+', "-", visible).removesuffix(".pdf")
    return (re.sub(r"\s+", " ", stem).strip(" .-")[:_LONGEST_NAME] or "paper") + ".pdf"


def disposition(filename: str) -> str:
    """The Content-Disposition of RFC 6266: a plain ASCII name, the true one beside it where they differ."""
    name = _plain(filename)
    ascii_name = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    ascii_name = _plain(ascii_name)
    header = f'inline; filename="{ascii_name}"'
    return header if ascii_name == name else f"{header}; filename*=UTF-8''{quote(name, safe='')}"


def pdf_response(content: bytes, filename: str) -> HttpResponse:
    """The PDF, shown in the browser; never guessed to be anything else, framed, stored or scripted."""
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={
            "Content-Disposition": disposition(filename),
            "X-Content-Type-Options": "nosniff",
            "Content-Security-Policy": "sandbox; default-src 'none'; frame-ancestors 'none'",
            "Cache-Control": "private, no-store",
        },
    )
