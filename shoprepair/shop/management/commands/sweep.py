from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shoprepair.shop.backup import sweeping


class Command(BaseCommand):
    help = (
        "Take away photos' files that no record names and that are older than a day; tell which are missing."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--look", action="store_true", help="only say what would go")
        parser.add_argument("--all", action="store_true", help="even when most of the files have no record")

    def handle(self, *_args: Any, look: bool, all: bool, **_options: Any) -> None:
        try:
            swept = sweeping.sweep(look=look, all_of_them=all)
        except sweeping.TooMany as trouble:
            raise CommandError(f"{trouble} With --look see which, with --all take them away.") from trouble
        for path in swept.gone if look else ():
            self.stdout.write(path)
        went = "would go" if look else "went"
        self.stdout.write(f"{len(swept.gone)} files without a record {went}, {swept.bytes} bytes.")
        for path in swept.missing:
            self.stderr.write(f"Missing: {path}")
