import getpass
import sys
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, CommandParser
from django.template.loader import render_to_string

from shoprepair import serve

FILES = {"shoprepair.service": 0o644, "shoprepair.env": 0o600, "shoprepair.nginx.conf": 0o644}
"""What is written, and who may read it: the environment holds passwords."""


class Command(BaseCommand):
    help = "Write what runs the shop on a machine of its own: systemd unit, environment, proxy."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("folder", type=Path, help="where to write them")
        parser.add_argument("--host", required=True, help="the name under which the shop is reached")
        parser.add_argument("--user", default=getpass.getuser(), help="the account that runs it")

    def handle(self, *_args: Any, folder: Path, host: str, user: str, **_options: Any) -> None:
        known = {
            "host": host,
            "user": user,
            "python": sys.executable,
            "program": settings.BASE_DIR,
            "data": settings.DATA_DIR,
            "port": serve.PORT,
        }
        if there := [name for name in FILES if (folder / name).exists()]:
            raise CommandError(f"{folder / there[0]} is there already: move it away, or name another folder.")
        try:
            folder.mkdir(parents=True, exist_ok=True)
            for name, mode in FILES.items():
                self._write(folder / name, render_to_string(f"running/{name}", known), mode)
        except OSError as error:
            raise CommandError(f"{folder} cannot be written to: {error.strerror}.") from error

    def _write(self, path: Path, text: str, mode: int) -> None:
        if path.exists():
            raise CommandError(
                f"{path} is there already, and may have been changed by hand: move it away first."
            )
        path.touch(mode=mode)
        path.write_text(text)
        self.stdout.write(str(path))
