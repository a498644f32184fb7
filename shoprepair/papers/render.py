"""From a template and its context to the bytes of a PDF.

A paper is made of nothing but what is handed in: what it needs of the database, of the shop's files and of
the settings is gathered here; it is laid out and written in a process of its own. One that was made before
and would be the same is not made again.
"""

from collections.abc import Mapping, Sequence

from django.template.loader import render_to_string

from shoprepair.papers import asked_again, kept
from shoprepair.papers.printing import bounded
from shoprepair.papers.printing.order import Order, Picture
from shoprepair.shop.unbroken import unbroken_page

ONE_PAGE: Mapping[str, int] = {"": 1}


def svg(markup: str) -> Picture:
    """An SVG drawing as a picture."""
    return Picture(markup.encode(), "image/svg+xml")


def jpeg(content: bytes) -> Picture:
    """A photo as a picture."""
    return Picture(content, "image/jpeg")


def printed(
    template: str,
    context: Mapping[str, object],
    *,
    style_sheets: Sequence[str],
    pictures: Mapping[str, Picture] | None = None,
    layouts: Mapping[str, int] = ONE_PAGE,
    foot_mm: float | None = None,
) -> bytes:
    """The template as a tagged PDF with its fonts inside. Raises Unmade.

    `layouts` are classes for the body with the pages each may fill, closest last: the first that fits is
    taken. With `foot_mm` the first page is cut that many millimetres below the element with the id `end`,
    for a continuous label as long as its content.
    """
    return paper(
        Order(
            unbroken_page(render_to_string(template, dict(context))),
            tuple(style_sheets),
            pictures or {},
            tuple(layouts.items()),
            foot_mm,
        )
    )


def paper(order: Order) -> bytes:
    """The paper, as it was kept or made now. Raises Unmade."""
    seal = kept.sealed(order)
    asked_again.sealed_as(seal)
    if (found := kept.find(seal)) is not None:
        return found
    made = bounded.make(order)
    kept.keep(seal, made)
    return made
