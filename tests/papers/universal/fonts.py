"""Of fonts with many letters, as ours are: each lies in the file, with its letters and what they mean."""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from io import BytesIO
from typing import Any

from fontTools.ttLib import TTFont
from pypdf import PdfReader

from tests.papers.universal.content import shown

IDENTITY = {"/Identity-H", "/Identity-V"}
PREDEFINED = re.compile(
    r"/(?:Identity|GB-EUC|GBpc-EUC|GBK-EUC|GBKp-EUC|GBK2K|UniGB-UCS2|UniGB-UTF16|B5pc|HKscs-B5|ETen-B5|"
    r"ETenms-B5|CNS-EUC|UniCNS-UCS2|UniCNS-UTF16|83pv-RKSJ|90ms-RKSJ|90msp-RKSJ|90pv-RKSJ|Add-RKSJ|EUC|Ext-RKSJ|"
    r"UniJIS-UCS2|UniJIS-UCS2-HW|UniJIS-UTF16|KSC-EUC|KSCms-UHC|KSCms-UHC-HW|KSCpc-EUC|UniKS-UCS2|UniKS-UTF16)"
    r"(?:-[HV])?|/[HV]"
)
"""Names of tables of codes that every reader has (ISO 32000-1, Table 118)."""
COLLECTIONS = {"GB1", "CNS1", "Japan1", "Korea1"}
FORBIDDEN = {0: "31-028", 0xFEFF: "31-029", 0xFFFE: "31-029"}
USUAL_WIDTH = 1000
NARROWEST = 1
"""Thousandths of a letter's size by which two widths may differ."""


def failures(reader: PdfReader) -> Iterator[str]:
    """Each condition of such fonts that the file meets."""
    for font, codes in used(reader):
        if font["/Subtype"] == "/Type0":
            name = font.get("/BaseFont", "?")
            yield from (f"{failure} ({name})" for failure in (*_of_font(font), *_of_letters(font, codes)))


def used(reader: PdfReader) -> Iterator[tuple[Any, bytes]]:
    """Every font that letters are drawn with, and all of these."""
    fonts, codes = {}, defaultdict(bytes)
    for font, run in shown(reader):
        fonts[id(font)] = font
        codes[id(font)] += run
    yield from ((fonts[key], codes[key]) for key in fonts)


def _of_font(font: Any) -> Iterator[str]:
    below = font["/DescendantFonts"][0].get_object()
    table = font["/Encoding"].get_object()
    yield from _of_table(table, below)
    if below["/Subtype"] == "/CIDFontType2":
        if "/CIDToGIDMap" not in below:
            yield "31-005: no way from a code to a letter"
        elif below["/CIDToGIDMap"] != "/Identity" and not hasattr(below["/CIDToGIDMap"], "get_data"):
            yield "31-004: no known way from a code to a letter"
    if program(below) is None:
        yield "31-009: it does not lie in the file"
    if "/ToUnicode" not in font and below["/CIDSystemInfo"].get("/Ordering") not in COLLECTIONS:
        yield "31-027: nobody knows what its letters mean"


def _of_table(table: Any, below: Any) -> Iterator[str]:
    if not hasattr(table, "get_data"):
        if not PREDEFINED.fullmatch(table):
            yield f"31-006: nobody has the table {table}"
        return
    its, theirs = table.get("/CIDSystemInfo", {}), below["/CIDSystemInfo"]
    if its.get("/Registry") != theirs.get("/Registry"):
        yield "31-001: its table is of another registry"
    if its.get("/Ordering") != theirs.get("/Ordering"):
        yield "31-002: its table is in another order"
    if theirs.get("/Supplement", 0) < its.get("/Supplement", 0):
        yield "31-003: its table is of a later issue"
    written = table.get_data()
    way = re.search(rb"/WMode\s+(\d)", written)
    if int(way[1] if way else 0) != table.get("/WMode", 0):
        yield "31-007: its table runs two ways"
    for other in re.findall(rb"(/[\w-]+)\s+usecmap", written):
        if not PREDEFINED.fullmatch(other.decode()):
            yield f"31-008: its table leans on {other.decode()}, which nobody has"


def _of_letters(font: Any, codes: bytes) -> Iterator[str]:
    below = font["/DescendantFonts"][0].get_object()
    meant = meanings(font)
    asked = {int.from_bytes(codes[at : at + 2], "big") for at in range(0, len(codes), 2)}
    yield from (f"{FORBIDDEN[each]}: a letter means U+{each:04X}" for each in _all(meant) & set(FORBIDDEN))
    if "/ToUnicode" in font and (nameless := asked - set(meant)):
        yield f"10-001: nobody knows what {sorted(nameless)} mean"
        yield "17-003: nor what a formula would be"
    letters = program(below)
    if letters is not None and not hasattr(font["/Encoding"], "get_data") and font["/Encoding"] in IDENTITY:
        yield from _against_program(below, asked, letters)


def _against_program(below: Any, asked: set[int], letters: TTFont) -> Iterator[str]:
    widths, order = widths_of(below), letters.getGlyphOrder()
    scale = USUAL_WIDTH / letters["head"].unitsPerEm
    for code in sorted(asked):
        place = _place(below, code)
        if place == 0:
            yield f"31-030: {code} is drawn as a letter that is missing"
        elif place >= len(order):
            yield f"31-011: it has no letter for {code}"
        else:
            own = letters["hmtx"][order[place]][0] * scale
            if abs(own - widths.get(code, below.get("/DW", USUAL_WIDTH))) > NARROWEST:
                yield f"31-016: {code} is {own:.0f} wide, and said to be {widths.get(code)}"
    named = below["/FontDescriptor"].get_object().get("/CIDSet")
    if named is not None:
        yield from _of_set(named.get_object().get_data(), len(order))


def _of_set(bits: bytes, count: int) -> Iterator[str]:
    listed = {at for at in range(8 * len(bits)) if bits[at // 8] & 0x80 >> at % 8}
    if set(range(count)) - listed:
        yield "31-014: letters that its list has not"
    if listed - set(range(count)):
        yield "31-015: a list of letters that it has not"


def _place(below: Any, code: int) -> int:
    table = below.get("/CIDToGIDMap")
    if not hasattr(table, "get_data"):
        return code
    written = table.get_data()
    return int.from_bytes(written[2 * code : 2 * code + 2], "big")


def program(holder: Any) -> TTFont | None:
    """The font as it lies in the file."""
    told = holder.get("/FontDescriptor", {}).get_object()
    lying = next((told[key] for key in ("/FontFile2", "/FontFile3") if key in told), None)
    return TTFont(BytesIO(lying.get_object().get_data())) if lying is not None else None


def widths_of(below: Any) -> Mapping[int, float]:
    """How wide each letter is said to be."""
    found: dict[int, float] = {}
    waiting = list(below.get("/W", []))
    while waiting:
        first, second = int(waiting.pop(0)), waiting.pop(0)
        if isinstance(second, list):
            found |= {first + at: float(width) for at, width in enumerate(second)}
        else:
            width = float(waiting.pop(0))
            found |= dict.fromkeys(range(first, int(second) + 1), width)
    return found


def meanings(font: Any) -> dict[int, str]:
    """What each code means, in letters."""
    if "/ToUnicode" not in font:
        return {}
    written = font["/ToUnicode"].get_object().get_data().decode("latin-1")
    found: dict[int, str] = {}
    for block in re.findall(r"beginbfchar(.*?)endbfchar", written, re.DOTALL):
        for code, meant in re.findall(r"<(\w+)>\s*<(\w+)>", block):
            found[int(code, 16)] = bytes.fromhex(meant).decode("utf-16-be", "surrogatepass")
    for block in re.findall(r"beginbfrange(.*?)endbfrange", written, re.DOTALL):
        for low, high, meant in re.findall(r"<(\w+)>\s*<(\w+)>\s*<(\w+)>", block):
            first = int(meant, 16)
            found |= {
                code: chr(first + code - int(low, 16)) for code in range(int(low, 16), int(high, 16) + 1)
            }
    return found


def _all(meant: Mapping[int, str]) -> set[int]:
    return {ord(letter) for letters in meant.values() for letter in letters}
