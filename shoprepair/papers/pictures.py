"""The self-check's drawn pictures for paper: the same hand, in ink, and without a page's style sheets."""

import functools

from django.template.loader import get_template

from shoprepair.papers.printing.order import Picture
from shoprepair.papers.render import svg

INK = "#15252b"
_FOLDER = "portal/self_check/pictures"


@functools.cache
def drawn(name: str) -> Picture:
    """The picture of that name, such as "pack-dry". Raises TemplateDoesNotExist where there is none."""
    markup = get_template(f"{_FOLDER}/{name}.svg").render()
    alone = markup.replace("<svg ", f'<svg xmlns="http://www.w3.org/2000/svg" color="{INK}" ', 1)
    return svg(alone.replace("currentColor", INK))


def several(*names: str) -> dict[str, Picture]:
    """Pictures by their names, as a paper takes them."""
    return {name: drawn(name) for name in names}
