"""What a style sheet gives shapes by their class, written onto the shapes themselves.

No style sheet of a page reaches into a file that the page borrows shapes from; what is inherited does, and so
do properties of the root that a shape names. So the screen's looks stand in one place, the style sheet.
"""

import re
from collections.abc import Iterator, Mapping

Look = dict[str, str]
"""Attributes of a shape by name, such as stroke → var(--d-ink)."""
SHAPES = ("path", "rect", "circle")
AS_FINE_AS_IT_IS: Look = {"vector-effect": "non-scaling-stroke"}
_ASIDE = re.compile(r"/\*.*?\*/|@[a-z-]+[^{}]*\{(?:[^{}]*\{[^{}]*\})*[^{}]*\}", re.DOTALL)
_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
_PLAIN = re.compile(r"\.diagram \.([a-z0-9-]+)")
_DRESSED = re.compile(r"<([a-z]+)((?: [a-z-]+=\"[^\"]*\")*)(/?)>")
_ATTRIBUTE = re.compile(r" ([a-z-]+)=\"([^\"]*)\"")


def looks(sheet: str) -> dict[str, Look]:
    """What each class wears by the rules `.diagram .class` of a style sheet; any other rule is passed by."""
    found: dict[str, Look] = {}
    for selectors, declared in _RULE.findall(_ASIDE.sub("", sheet)):
        for selector in selectors.split(","):
            if plain := _PLAIN.fullmatch(selector.strip()):
                found.setdefault(plain[1], {}).update(_declarations(declared))
    return found


def _declarations(declared: str) -> Iterator[tuple[str, str]]:
    for each in declared.split(";"):
        name, said, value = each.partition(":")
        if said:
            yield name.strip(), value.strip()


def dressed(svg: str, worn: Mapping[str, Look]) -> str:
    """A piece of SVG without classes: each shape has the looks of its classes as attributes.

    Where a shape names a tone for paper, its look takes the place of that.
    """
    return _DRESSED.sub(lambda found: _shape(found, worn), svg)


def _shape(found: re.Match[str], worn: Mapping[str, Look]) -> str:
    own = dict(_ATTRIBUTE.findall(found[2]))
    classes = own.pop("class", "").split()
    look = dict(AS_FINE_AS_IT_IS) if found[1] in SHAPES else {}
    for name in classes:
        look |= worn.get(name, {})
    look |= {name: _or(look[name], own[name]) for name in ("fill", "stroke") if name in look and name in own}
    written = "".join(f' {name}="{value}"' for name, value in (own | look).items())
    return f"<{found[1]}{written}{found[3]}>"


def _or(tone: str, on_paper: str) -> str:
    """A named tone, and that of the paper for a page that came without its style sheet."""
    return f"{tone[:-1]},{on_paper})" if tone.startswith("var(") and "," not in tone else tone
