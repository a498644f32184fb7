"""Of fonts with at most 256 letters. No paper of ours has one; one that came in would be judged here."""

from collections.abc import Iterator
from typing import Any

from fontTools.agl import AGL2UV
from pypdf import PdfReader

from tests.papers.universal.fonts import program, used

KNOWN = {"/MacRomanEncoding", "/WinAnsiEncoding"}
ENCODED = KNOWN | {"/MacExpertEncoding"}
NONSYMBOLIC = 1 << 5
TABLES = {(3, 1), (1, 0)}
"""Tables of a font by which letters that have names are found."""


def failures(reader: PdfReader) -> Iterator[str]:
    """Each condition of such fonts that the file meets."""
    for font, codes in used(reader):
        if font["/Subtype"] == "/Type0":
            continue
        name = font.get("/BaseFont", font["/Subtype"])
        yield from (f"{failure} ({name})" for failure in _of_font(font, codes))


def _of_font(font: Any, codes: bytes) -> Iterator[str]:
    kind, told = font["/Subtype"], font.get("/FontDescriptor", {}).get_object()
    if kind != "/Type3" and not {"/FontFile", "/FontFile2", "/FontFile3"} & set(told):
        yield "31-009: it does not lie in the file"
    nonsymbolic = bool(told.get("/Flags", 0) & NONSYMBOLIC)
    if not ("/ToUnicode" in font or _base(font) in ENCODED or _names(font, nonsymbolic=nonsymbolic)):
        yield "31-027: nobody knows what its letters mean"
        yield "10-001: and nothing says what they mean"
    if kind == "/TrueType":
        yield from _named(font, codes) if nonsymbolic else _symbols(font)
    if kind == "/Type1" and "/CharSet" in told:
        yield from _listed(font, told)


def _names(font: Any, *, nonsymbolic: bool) -> bool:
    """Whether the names of its letters say what they mean."""
    if font["/Subtype"] == "/TrueType":
        return nonsymbolic
    return bool(_differences(font)) and _differences(font) <= set(AGL2UV)


def _named(font: Any, codes: bytes) -> Iterator[str]:
    encoding, base = font.get("/Encoding"), _base(font)
    tables = _tables(font)
    if encoding is None:
        yield "31-019: it says nothing of its codes"
    elif not base:
        yield "31-020: it says nothing of what its codes begin with"
    elif base not in KNOWN:
        yield f"31-021: {base} is no known table of codes"
    if _differences(font) - set(AGL2UV):
        yield "31-022: letters of names that nobody knows"
    if tables is None:
        return
    if _differences(font) and (3, 1) not in tables:
        yield "31-023: letters by name, and no table of Unicode"
    if not TABLES & set(tables):
        yield "31-017: no table for letters by name"
    found = {code for table in tables.values() for code in table.cmap}
    coding = "mac-roman" if base == "/MacRomanEncoding" else "cp1252"
    if {ord(letter) for letter in codes.decode(coding, "ignore")} - found:
        yield "31-018: a letter that none of its tables has"


def _symbols(font: Any) -> Iterator[str]:
    tables = _tables(font)
    if "/Encoding" in font:
        yield "31-024: codes of symbols by a table of letters"
    if tables is not None and not tables:
        yield "31-025: no table at all"
    elif tables is not None and len(tables) > 1 and (3, 0) not in tables:
        yield "31-026: several tables and none of symbols"


def _listed(font: Any, told: Any) -> Iterator[str]:
    letters = program(font)
    if letters is None:
        return
    listed, there = set(told["/CharSet"].split("/")[1:]), set(letters.getGlyphOrder()) - {".notdef"}
    if there - listed:
        yield "31-012: letters that its list has not"
    if listed - there:
        yield "31-013: a list of letters that it has not"


def _tables(font: Any) -> dict[tuple[int, int], Any] | None:
    letters = program(font)
    if letters is None:
        return None
    tables = letters["cmap"].tables if "cmap" in letters else []
    return {(table.platformID, table.platEncID): table for table in tables}


def _base(font: Any) -> str:
    encoding = font.get("/Encoding", "")
    return str(encoding if isinstance(encoding, str) else encoding.get_object().get("/BaseEncoding", ""))


def _differences(font: Any) -> set[str]:
    encoding = font.get("/Encoding", "")
    names = [] if isinstance(encoding, str) else encoding.get_object().get("/Differences", [])
    return {str(name)[1:] for name in names if isinstance(name, str)}
