from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shoprepair.shop.archive.writing import write


class Command(BaseCommand):
    help = "Write the whole shop into one archive, while it works."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="where to write it, such as shop.zip")

    def handle(self, *_args: Any, file: Path, **_options: Any) -> None:
        if file.is_dir():
            raise CommandError(f"{file} is a folder. Name the file to write, such as {file / 'shop.zip'}.")
        try:
            made = write(file)
        except OSError as error:
            raise CommandError(f"The archive could not be written: {error.strerror or error}.") from error
        self.stdout.write(f"{made.path}: {made.rows} records, {made.files} files, {made.bytes} bytes.")
        if made.missing:
            self.stderr.write(f"{made.missing} files that the records name were not on the disk.")
