from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shoprepair.shop.archive.bringing import bring_in
from shoprepair.shop.archive.opening import ArchiveRefused


class Command(BaseCommand):
    help = "Bring an archive of a shop into this empty one: all of it, or nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="an archive made by export_shop or in the office")

    def handle(self, *_args: Any, file: Path, **_options: Any) -> None:
        try:
            brought = bring_in(file)
        except ArchiveRefused as refused:
            raise CommandError(str(refused)) from refused
        except OSError as error:
            raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
        self.stdout.write(f"{brought.shop}: {brought.rows} records and {brought.files} files came in.")
        self.stdout.write(
            "An archive holds no passwords. Give the owner one: "
            f"manage.py changepassword {brought.owner.username}"
        )
