"""Gathers what is said to people, in the programs of the browser too, into one catalogue of a language."""

import json
import os
import tempfile
from functools import cached_property
from pathlib import Path
from typing import Any

from django.core.management.commands import makemessages

from shoprepair.shop.spoken import spoken

EXTENSIONS = ["html", "js", "py", "txt"]


class BuildFile(makemessages.BuildFile):
    """A program's texts are handed on as the same texts of Python."""

    @cached_property
    def work_path(self) -> str:
        """Not beside a program: what lies there is served, and put together by whoever starts a shop."""
        if not self.path.endswith(".js"):
            return str(super().work_path)
        handle, path = tempfile.mkstemp(suffix=".py")
        os.close(handle)
        return path

    def preprocess(self) -> None:
        if not self.path.endswith(".js"):
            super().preprocess()
            return
        calls = [
            f"ngettext({_quoted(said.text)}, {_quoted(said.more)}, 2)"
            if said.more
            else f"gettext({_quoted(said.text)})"
            for said in spoken(Path(self.path).read_text())
        ]
        Path(self.work_path).write_text("\n".join(calls))


class Command(makemessages.Command):
    build_file_class = BuildFile

    def handle(self, *args: Any, **options: Any) -> None:
        options["extensions"] = options["extensions"] or EXTENSIONS
        super().handle(*args, **options)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
