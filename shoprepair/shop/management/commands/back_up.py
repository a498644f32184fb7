from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shoprepair.shop.backup import duties, writing
from shoprepair.shop.backup.layout import BackupTrouble
from shoprepair.shop.backup.writing import Made


class Command(BaseCommand):
    help = "Back the whole shop up while it works: records, photos and key, with the digest of each."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--to", type=Path, help="into this folder instead of where backups are kept")
        parser.add_argument("--keep-all", action="store_true", help="let no older backup go (with --to)")

    def handle(self, *_args: Any, to: Path | None, keep_all: bool, **_options: Any) -> None:
        try:
            made = writing.make(to.resolve(), keep_all=keep_all) if to else duties.back_up()
        except BackupTrouble as trouble:
            raise CommandError(str(trouble)) from trouble
        self._say(made)

    def _say(self, made: Made) -> None:
        said = made.manifest
        self.stdout.write(
            f"{made.path}: {said.rows} records in {len(said.tables)} tables, {said.photos} files of photos, "
            f"{said.bytes} bytes, {made.copied_bytes} of them new."
        )
        if made.removed:
            self.stdout.write(f"{made.removed} older backups gave way.")
        if not said.key_inside:
            self.stdout.write(
                "The shop's key is not in it: it comes from the environment. Keep it elsewhere too."
            )
        for paths, words in (
            (said.missing, "are missing on the disk"),
            (said.spoiled, "are no longer what they were"),
        ):
            if paths:
                self.stderr.write(f"{len(paths)} files of photos {words}, such as {paths[0]}.")
