"""Of the tags: which kinds there are, what stands within what, and what must be said of them."""

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from pypdf import PdfReader
from pypdf.generic import DictionaryObject

_STANDARD = """
Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private P H H1 H2 H3 H4 H5 H6 L LI Lbl
LBody Table TR TH TD THead TBody TFoot Span Quote Note Reference BibEntry Code Link Annot Ruby RB RT RP
Warichu WT WP Figure Formula Form
"""
STANDARD = frozenset(_STANDARD.split())
"""Structure types of PDF 1.7 (ISO 32000-1, 14.8.4)."""
INSIDE = {
    "09-004": {
        "TR": {"Table", "THead", "TBody", "TFoot"},
        "TH": {"TR"},
        "TD": {"TR"},
        "THead": {"Table"},
        "TBody": {"Table"},
        "TFoot": {"Table"},
    },
    "09-005": {"LI": {"L"}, "Lbl": {"LI", "Note", "Form", "Link", "TOCI"}, "LBody": {"LI"}},
    "09-006": {"TOCI": {"TOC"}},
    "09-007": {"RB": {"Ruby"}, "RT": {"Ruby"}, "RP": {"Ruby"}},
    "09-008": {"WT": {"Warichu"}, "WP": {"Warichu"}},
}
"""What may stand only within something else."""
HOLDING = {
    "09-004": {
        "Table": {"TR", "THead", "TBody", "TFoot", "Caption"},
        "TR": {"TH", "TD"},
        "THead": {"TR"},
        "TBody": {"TR"},
        "TFoot": {"TR"},
    },
    "09-005": {"L": {"LI", "L", "Caption"}, "LI": {"Lbl", "LBody"}},
    "09-006": {"TOC": {"TOC", "TOCI", "Caption"}, "TOCI": {"Lbl", "Reference", "NonStruct", "P", "TOC"}},
    "09-007": {"Ruby": {"RB", "RT", "RP"}},
    "09-008": {"Warichu": {"WT", "WP"}},
}
"""And what may hold nothing else."""


def failures(reader: PdfReader) -> Iterator[str]:
    """Each condition of the structure that the file meets."""
    root: Any = reader.trailer["/Root"].get("/StructTreeRoot")
    if root is None:
        yield "01-005: no tags at all"
        return
    roles = roles_of(root)
    yield from _roles(roles)
    elements = list(walk(root, roles))
    for element, kind, above in elements:
        yield from _of_one(element, kind, above, roles)
    yield from _headings([kind for _, kind, _ in elements])
    yield from _notes([element.get("/ID") for element, kind, _ in elements if kind == "Note"])


def _roles(roles: Mapping[str, str]) -> Iterator[str]:
    for role, meant in roles.items():
        if role in STANDARD:
            yield f"02-004: {role} means {meant}"
        elif _leads_round(role, roles):
            yield f"02-003: {role} means itself in the end"


def _of_one(element: Any, kind: str, above: str, roles: Mapping[str, str]) -> Iterator[str]:
    children = [kind_of(child, roles) for child in kids(element) if "/S" in child]
    if kind not in STANDARD:
        yield f"02-001: {kind} is no standard type"
    for number, inside in INSIDE.items():
        if kind in inside and above not in inside[kind]:
            yield f"{number}: {kind} stands in {above}"
    for number, holding in HOLDING.items():
        if kind in holding and not set(children) <= holding[kind]:
            yield f"{number}: {kind} holds {sorted(set(children) - holding[kind])}"
    said = element.get("/Alt") or element.get("/ActualText")
    if kind == "Figure" and not said:
        yield f"13-004: a Figure without words, in {above}"
    if kind == "Formula" and not element.get("/Alt"):
        yield f"17-002: a Formula without words, in {above}"
    if children.count("H") > 1:
        yield f"14-006: two headings in one {kind}"
    if kind == "Table":
        yield from _cells(element, roles)


def _headings(kinds: list[str]) -> Iterator[str]:
    numbered = [int(kind[1]) for kind in kinds if len(kind) == 2 and kind[0] == "H" and kind[1].isdigit()]
    if numbered and "H" in kinds:
        yield "14-007: headings with and without a number"
    if numbered and numbered[0] != 1:
        yield f"14-002: the first heading is H{numbered[0]}"
    yield from (f"14-003: H{low} follows H{high}" for high, low in pairwise(numbered) if low > high + 1)


def _notes(names: list[Any]) -> Iterator[str]:
    if not all(names):
        yield "19-003: a note without an ID"
    yield from (
        f"19-004: {count} notes are {name}"
        for name, count in Counter(filter(None, names)).items()
        if count > 1
    )


def roles_of(root: Any) -> dict[str, str]:
    """What the file's own types mean."""
    return {key[1:]: value[1:] for key, value in root.get("/RoleMap", {}).items()}


def walk(above: Any, roles: Mapping[str, str]) -> Iterator[tuple[Any, str, str]]:
    """Every element with its kind and that of what it stands in."""
    for child in kids(above):
        if "/S" in child:
            yield child, kind_of(child, roles), kind_of(above, roles) if "/S" in above else ""
            yield from walk(child, roles)


def kids(element: Any) -> list[DictionaryObject]:
    """What stands in an element and is no bare content."""
    held = element.get("/K", [])
    held = held.get_object() if hasattr(held, "get_object") else held
    objects = [kid.get_object() for kid in (held if isinstance(held, list) else [held])]
    return [kid for kid in objects if isinstance(kid, DictionaryObject)]


def kind_of(element: Any, roles: Mapping[str, str]) -> str:
    """The standard type that an element's own one means; its own where that leads nowhere."""
    return _meant(element.get("/S", "/")[1:], roles)


def _meant(kind: str, roles: Mapping[str, str]) -> str:
    for _ in roles:
        if kind in STANDARD or kind not in roles:
            break
        kind = roles[kind]
    return kind


def _leads_round(kind: str, roles: Mapping[str, str]) -> bool:
    passed = set()
    while kind in roles and kind not in STANDARD:
        if kind in passed:
            return True
        passed.add(kind)
        kind = roles[kind]
    return False


def _cells(table: Any, roles: Mapping[str, str]) -> Iterator[str]:
    """Every cell names its headings, where these do not say themselves what they head."""
    cells = [(kind, element) for element, kind, _ in walk(table, roles) if kind in {"TH", "TD"}]
    headings = [element for kind, element in cells if kind == "TH"]
    if all("/Scope" in element.get("/A", {}) for element in headings):
        return
    named = {element.get("/ID") for element in headings}
    for told in (element.get("/A", {}).get("/Headers", []) for kind, element in cells if kind == "TD"):
        if not told or not set(told) <= named:
            yield "15-003: a cell that is told no heading"
