"""Templates are laid out for those who write them; a page goes out without it.

What stood apart stays apart: a line that only decides goes, the end of the line before it stays.
While the shop is being worked on, lines stay lines, so that a fault is told by its line.
"""

import re
from typing import Any

from django.template import Origin
from django.template.loaders import filesystem

_INDENTED = re.compile(r"\n[ \t]+")
_SAYS_NOTHING = (
    r"(?:if|elif|else|endif|for|empty|endfor|with|endwith|load|block|endblock|ifchanged|endifchanged)\b"
)
_EMPTY_LINES = re.compile(rf"(?<=\n)((?:{{% {_SAYS_NOTHING}(?:(?!%}})[^\n])*%}}|{{#(?:(?!#}})[^\n])*#}})?)\n")


class Loader(filesystem.Loader):
    """Reads a template, and leaves out what its lines begin with and the lines that say nothing."""

    def get_contents(self, origin: Origin) -> Any:
        """The template's source; what is no page stays as it is written."""
        source = super().get_contents(origin)
        if not str(origin.name).endswith(".html"):
            return source
        unindented = _INDENTED.sub("\n", source)
        return unindented if self.engine.debug else _EMPTY_LINES.sub(r"\1", unindented)
