"""Templates are indented for those who write them; a page goes out without it.

Lines stay lines, so that nothing that stood apart is joined, and a fault is still told by its line.
"""

import re
from typing import Any

from django.template import Origin
from django.template.loaders import filesystem

_INDENTED = re.compile(r"\n[ \t]+")


class Loader(filesystem.Loader):
    """Reads a template, and leaves out what its lines begin with."""

    def get_contents(self, origin: Origin) -> Any:
        """The template's source; what is no page stays as it is written."""
        source = super().get_contents(origin)
        return _INDENTED.sub("\n", source) if str(origin.name).endswith(".html") else source
