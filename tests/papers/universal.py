"""What PDF/UA-1 (ISO 14289-1) asks of a file, as far as a program can tell without a person looking.

Numbers are those of the failure conditions in the Matterhorn Protocol 1.1. No validator is at hand that
installs with the packages, so these are read from the file with a general PDF library.
"""

from collections.abc import Iterator
from io import BytesIO
from itertools import pairwise
from typing import Any

from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream, DictionaryObject

_STANDARD = """
Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private P H H1 H2 H3 H4 H5 H6 L LI Lbl
LBody Table TR TH TD THead TBody TFoot Span Quote Note Reference BibEntry Code Link Annot Ruby RB RT RP
Warichu WT WP Figure Formula Form
"""
STANDARD = frozenset(_STANDARD.split())
"""Structure types of PDF 1.7 (ISO 32000-1, 14.8.4)."""
INSIDE = {
    "TR": {"Table", "THead", "TBody", "TFoot"},
    "TH": {"TR"},
    "TD": {"TR"},
    "THead": {"Table"},
    "TBody": {"Table"},
    "TFoot": {"Table"},
    "LI": {"L"},
    "Lbl": {"LI", "Note", "Form", "Link"},
    "LBody": {"LI"},
}
"""What may stand only within something else (09-004 to 09-006)."""
HOLDING = {
    "Table": {"TR", "THead", "TBody", "TFoot", "Caption"},
    "TR": {"TH", "TD"},
    "THead": {"TR"},
    "TBody": {"TR"},
    "TFoot": {"TR"},
    "L": {"LI", "L", "Caption"},
    "LI": {"Lbl", "LBody"},
}
"""And what may hold nothing else."""
_PAINTING = "Tj TJ ' \" S s f F f* B B* b b* sh Do EI INLINE IMAGE"
PAINTING = frozenset(operator.encode() for operator in _PAINTING.split())


def failures(pdf: bytes) -> list[str]:
    """Each failure condition that the file meets, with where."""
    reader = PdfReader(BytesIO(pdf))
    return [*_document(reader), *_tree(reader), *_pages(reader), *_fonts(reader)]


def _document(reader: PdfReader) -> Iterator[str]:
    root: Any = reader.trailer["/Root"]
    told = root["/Metadata"].get_data().decode()
    if "pdfuaid:part" not in told:
        yield "06-002: the metadata name no PDF/UA"
    if "dc:title" not in told or not (reader.metadata and reader.metadata.title):
        yield "06-003: no title"
    if not root.get("/ViewerPreferences", {}).get("/DisplayDocTitle"):
        yield "07-001: the title is not shown"
    if not root.get("/MarkInfo", {}).get("/Marked"):
        yield "06-001: not marked as tagged"
    if root.get("/MarkInfo", {}).get("/Suspects"):
        yield "08-001: tags under suspicion"
    if not root.get("/Lang"):
        yield "11-006: no language"
    if reader.is_encrypted:
        yield "26-001: encrypted"


def _tree(reader: PdfReader) -> Iterator[str]:
    root: Any = reader.trailer["/Root"]["/StructTreeRoot"]
    roles = {key[1:]: value[1:] for key, value in root.get("/RoleMap", {}).items()}
    yield from (f"02-004: {role} means {roles[role]}" for role in roles if role in STANDARD)
    headings, notes = [], []
    for element, kind, above in _walk(root, roles):
        children = {_kind(child, roles) for child in _kids(element) if "/S" in child}
        if kind not in STANDARD:
            yield f"02-001: {kind} is no standard type"
        if kind in INSIDE and above not in INSIDE[kind]:
            yield f"09-004: {kind} stands in {above}"
        if kind in HOLDING and not children <= HOLDING[kind]:
            yield f"09-005: {kind} holds {sorted(children - HOLDING[kind])}"
        if kind in {"Figure", "Formula"} and not (element.get("/Alt") or element.get("/ActualText")):
            yield f"13-004: a {kind} without words, in {above}"
        if kind == "Table":
            yield from _cells(element, roles)
        if kind == "Note":
            notes.append(element.get("/ID"))
        if len(kind) == 2 and kind[0] == "H" and kind[1].isdigit():
            headings.append(int(kind[1]))
    if headings and headings[0] != 1:
        yield f"14-002: the first heading is H{headings[0]}"
    yield from (f"14-003: H{low} follows H{high}" for high, low in pairwise(headings) if low > high + 1)
    if None in notes or len(set(notes)) < len(notes):
        yield "19-003: a note without an ID of its own"


def _walk(above: Any, roles: dict[str, str]) -> Iterator[tuple[Any, str, str]]:
    for child in _kids(above):
        if "/S" in child:
            yield child, _kind(child, roles), _kind(above, roles) if "/S" in above else ""
            yield from _walk(child, roles)


def _kids(element: Any) -> list[DictionaryObject]:
    kids = element.get("/K", [])
    kids = kids.get_object() if hasattr(kids, "get_object") else kids
    objects = [kid.get_object() for kid in (kids if isinstance(kids, list) else [kids])]
    return [kid for kid in objects if isinstance(kid, DictionaryObject)]


def _kind(element: Any, roles: dict[str, str]) -> str:
    kind = element["/S"][1:]
    return roles.get(kind, kind)


def _cells(table: Any, roles: dict[str, str]) -> Iterator[str]:
    """Every cell names its headings, where these do not say themselves what they head."""
    cells = [(kind, element) for element, kind, _ in _walk(table, roles) if kind in {"TH", "TD"}]
    headings = [element for kind, element in cells if kind == "TH"]
    if all("/Scope" in element.get("/A", {}) for element in headings):
        return
    named = {element.get("/ID") for element in headings}
    for told in (element["/A"].get("/Headers", []) for kind, element in cells if kind == "TD"):
        if not told or not set(told) <= named:
            yield "15-003: a cell that is told no heading"


def _pages(reader: PdfReader) -> Iterator[str]:
    for number, page in enumerate(reader.pages, 1):
        yield from (f"{failure}, page {number}" for failure in (*_painted(page, reader), *_annotations(page)))


def _painted(page: PageObject, reader: PdfReader) -> Iterator[str]:
    """Whatever is painted belongs to the structure or is said to be decoration, and never to both."""
    marks: list[str] = []
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        if operator in {b"BMC", b"BDC"}:
            here = "artifact" if operands[0] == "/Artifact" else _tagged(operands)
            if {here, *marks} >= {"artifact", "tagged"}:
                yield "01-003: tagged and decoration at once"
            marks.append(here)
        elif operator == b"EMC":
            marks.pop()
        elif operator in PAINTING and not {"artifact", "tagged"} & set(marks):
            yield f"01-005: {operator.decode()} is neither tagged nor decoration"
            return


def _tagged(operands: list[Any]) -> str:
    return "tagged" if len(operands) > 1 and "/MCID" in operands[1] else "plain"


def _annotations(page: PageObject) -> Iterator[str]:
    annotations = [annotation.get_object() for annotation in page.get("/Annots", []) or []]
    if annotations and page.get("/Tabs") != "/S":
        yield "28-009: annotations in no order"
    for annotation in annotations:
        if "/StructParent" not in annotation:
            yield "28-002: an annotation outside the structure"
        if annotation["/Subtype"] == "/Link" and not annotation.get("/Contents"):
            yield "28-012: a link that does not say where it leads"


def _fonts(reader: PdfReader) -> Iterator[str]:
    seen = {
        str(font.get_object().get("/BaseFont")): font.get_object()
        for page in reader.pages
        for font in page["/Resources"].get("/Font", {}).values()  # type: ignore[union-attr]
    }
    for name, font in seen.items():
        if "/ToUnicode" not in font:
            yield f"10-001: letters of {name} have no Unicode"
        for below in font.get("/DescendantFonts", []):
            told = below.get_object()["/FontDescriptor"].get_object()
            if not {"/FontFile", "/FontFile2", "/FontFile3"} & set(told):
                yield f"31-009: {name} does not lie in the file"
