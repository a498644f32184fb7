"""Of what lies over the pages: links, fields, notes, films."""

from collections.abc import Iterator
from typing import Any

from pypdf import PageObject, PdfReader

from tests.papers.universal.structure import kids, kind_of, roles_of

_KNOWN = """
Text Link FreeText Line Square Circle Polygon PolyLine Highlight Underline Squiggly StrikeOut Stamp Caret Ink
Popup FileAttachment Sound Movie Widget Screen PrinterMark TrapNet Watermark 3D Redact
"""
KNOWN = frozenset(f"/{kind}" for kind in _KNOWN.split())
"""Subtypes of ISO 32000-1, Table 169."""
ALONE = {"/Link": "Link", "/Widget": "Form"}
"""What an annotation stands in; any other stands in Annot."""
NUMBERS = {"Link": "28-011", "Form": "28-010", "Annot": "28-002"}


def failures(reader: PdfReader) -> Iterator[str]:
    """Each condition of annotations that the file meets."""
    standing = dict(_standing(reader))
    for number, page in enumerate(reader.pages, 1):
        yield from (f"{failure}, page {number}" for failure in _of_page(page, standing))


def _standing(reader: PdfReader) -> Iterator[tuple[int, tuple[str, Any]]]:
    """Of each annotation by its number: the kind of element that it stands in, and that element."""
    root: Any = reader.trailer["/Root"].get("/StructTreeRoot", {})
    roles, waiting = roles_of(root), kids(root)
    while waiting:
        element = waiting.pop()
        if element.get("/Type") == "/OBJR":
            continue
        for kid in kids(element):
            if kid.get("/Type") == "/OBJR":
                yield kid.raw_get("/Obj").idnum, (kind_of(element, roles), element)
        waiting += kids(element)


def _of_page(page: PageObject, standing: dict[int, tuple[str, Any]]) -> Iterator[str]:
    annotations = page.get("/Annots", []) or []
    if annotations and "/Tabs" not in page:
        yield "28-008: annotations in no order"
    elif annotations and page["/Tabs"] != "/S":
        yield "28-009: annotations in an order of their own"
    for each in annotations:
        number = getattr(each, "idnum", 0)
        yield from _of_one(each.get_object(), *standing.get(number, ("", {})))


def _of_one(annotation: Any, within: str, element: Any) -> Iterator[str]:
    kind = annotation["/Subtype"]
    wanted = ALONE.get(kind, "Annot")
    if kind == "/TrapNet":
        yield "28-007: a trap network"
    if kind not in KNOWN:
        yield f"28-006: {kind[1:]} is no kind of annotation"
    if kind == "/PrinterMark":
        yield from _of_mark(annotation, within)
        return
    if within != wanted:
        yield f"{NUMBERS[wanted]}: a {kind[1:]} stands in {within or 'nothing'}"
    if kind == "/Link" and not annotation.get("/Contents"):
        yield "28-012: a link that does not say where it leads"
    elif kind == "/Widget" and not (annotation.get("/TU") or element.get("/Alt")):
        yield "28-005: a field without words"
    elif kind != "/Widget" and not (annotation.get("/Contents") or element.get("/Alt")):
        yield "28-004: an annotation without words"
    if kind == "/FileAttachment" and not {"/F", "/UF"} <= set(annotation.get("/FS", {})):
        yield "28-016: a file pinned without a name for all systems"
    clip = annotation.get("/A", {}).get("/R", {}).get("/C")
    if clip is not None and "/CT" not in clip:
        yield "28-014: a film of no known kind"
    if clip is not None and not clip.get("/Alt"):
        yield "28-015: a film without words"


def _of_mark(mark: Any, within: str) -> Iterator[str]:
    if within:
        yield "28-017: a printer's mark in the structure"
    look = mark.get("/AP", {}).get("/N")
    if look is not None and b"/Artifact" not in look.get_object().get_data():
        yield "28-018: a printer's mark that is no decoration"
