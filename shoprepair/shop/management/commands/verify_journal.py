from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shoprepair.shop.backup import sealing, standing


class Command(BaseCommand):
    help = "Compare every entry of the journal with what the backups say of it; nothing is changed."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--in", dest="folder", help="a folder of backups; else the shop's own")

    def handle(self, *_args: Any, folder: str | None, **_options: Any) -> None:
        at = Path(folder).resolve() if folder else standing.folder()
        try:
            said = sealing.compare(at)
        except OSError as error:
            raise CommandError(f"The backups in {at} cannot be read: {error.strerror}.") from error
        if said.wrong:
            raise CommandError(" ".join(said.wrong))
        if not said.backups:
            raise CommandError(f"No backup in {at} knows this journal. Make one: manage.py back_up")
        self.stdout.write(
            f"Each of the {said.entries} entries that was there for one of {len(said.backups)} backups, "
            f"the oldest {said.backups[-1]}, is as it was written."
        )
