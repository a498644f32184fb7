"""Of what is painted: tagged or decoration, in which part, and whose letters with which font."""

from collections import Counter
from collections.abc import Iterator
from typing import Any, NamedTuple

from pypdf import PdfReader
from pypdf.generic import ContentStream

_PAINTING = "Tj TJ ' \" S s f F f* B B* b b* sh Do EI INLINE IMAGE"
PAINTING = frozenset(operator.encode() for operator in _PAINTING.split())
UNSEEN = 3
"""The way of drawing letters that draws none."""


class Shown(NamedTuple):
    """Codes of letters that a font is asked for."""

    font: Any
    codes: bytes


def failures(reader: PdfReader) -> Iterator[str]:
    """Each condition of what is painted that the file meets."""
    known = set(_numbers(reader.trailer["/Root"].get("/StructTreeRoot", {}).get("/ParentTree", {})))
    times: Counter[int] = Counter()
    for number, page in enumerate(reader.pages, 1):
        stream = ContentStream(page.get_contents(), reader)
        there = {at for parents, at in known if parents == page.get("/StructParents")}
        yield from (f"{failure}, page {number}" for failure in _painted(stream, there))
        for _, name in forms(page, reader):
            times[name.idnum] += 1
        for form, _ in forms(page, reader):
            if "/Ref" in form:
                yield f"30-001: a part from another file, page {number}"
    for number, count in times.items():
        form: Any = reader.get_object(number)
        if count > 1 and b"/MCID" in form.get_data():
            yield f"30-002: a tagged part that is drawn {count} times"


def _painted(stream: ContentStream, known: set[int]) -> Iterator[str]:
    """Whatever is painted belongs to the structure or is said to be decoration, and never to both."""
    marks: list[str] = []
    for operands, operator in stream.operations:
        if operator in {b"BMC", b"BDC"}:
            here = "artifact" if operands[0] == "/Artifact" else _tagged(operands, known)
            if here == "artifact" and "tagged" in marks:
                yield "01-003: decoration within what is tagged"
            if here == "tagged" and "artifact" in marks:
                yield "01-004: tagged within decoration"
            marks.append(here)
        elif operator == b"EMC":
            marks.pop()
        elif operator in PAINTING and not {"artifact", "tagged"} & set(marks):
            yield f"01-005: {operator.decode()} is neither tagged nor decoration"
            return


def _tagged(operands: list[Any], known: set[int]) -> str:
    """Whether what is marked stands in the structure, not only says so."""
    if len(operands) < 2 or "/MCID" not in operands[1]:
        return "plain"
    return "tagged" if operands[1]["/MCID"] in known else "unknown"


def _numbers(tree: Any) -> Iterator[tuple[int, int]]:
    """Which marks of which page belong to an element."""
    pairs = tree.get("/Nums", [])
    for at in range(0, len(pairs), 2):
        elements = pairs[at + 1].get_object()
        if isinstance(elements, list):
            yield from ((pairs[at], mark) for mark, each in enumerate(elements) if each.get_object())
    for kid in tree.get("/Kids", []):
        yield from _numbers(kid.get_object())


def forms(holder: Any, reader: PdfReader) -> Iterator[tuple[Any, Any]]:
    """Every part that is drawn there, and within such a part, as often as it is, with its reference."""
    held = holder.get("/Resources", {}).get("/XObject", {})
    for operands, operator in _stream(holder, reader).operations:
        if operator == b"Do" and operands[0] in held:
            part = held[operands[0]]
            if part.get("/Subtype") == "/Form":
                yield part, held.raw_get(operands[0])
                yield from forms(part, reader)


def shown(reader: PdfReader) -> Iterator[Shown]:
    """Every run of letters that is to be seen, wherever it is drawn."""
    for page in reader.pages:
        for holder in (page, *(part for part, _ in forms(page, reader)), *_patterns(page)):
            yield from _letters(holder, reader)


def _patterns(holder: Any) -> Iterator[Any]:
    for pattern in holder.get("/Resources", {}).get("/Pattern", {}).values():
        if hasattr(pattern.get_object(), "get_data"):
            yield pattern.get_object()


def _letters(holder: Any, reader: PdfReader) -> Iterator[Shown]:
    fonts = holder.get("/Resources", {}).get("/Font", {})
    font, way, kept = None, 0, []
    for operands, operator in _stream(holder, reader).operations:
        if operator == b"q":
            kept.append((font, way))
        elif operator == b"Q" and kept:
            font, way = kept.pop()
        elif operator == b"Tf":
            font = fonts[operands[0]].get_object()
        elif operator == b"Tr":
            way = operands[0]
        elif operator in {b"Tj", b"TJ", b"'", b'"'} and way != UNSEEN:
            runs = operands[-1] if operator == b"TJ" else [operands[-1]]
            yield from (Shown(font, run.original_bytes) for run in runs if hasattr(run, "original_bytes"))


def _stream(holder: Any, reader: PdfReader) -> ContentStream:
    content = holder.get_contents() if holder.get("/Type") == "/Page" else holder
    return ContentStream(content, reader)
