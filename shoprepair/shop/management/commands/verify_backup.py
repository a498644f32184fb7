from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shoprepair.shop.backup import layout, standing, verifying
from shoprepair.shop.backup.layout import BackupTrouble


class Command(BaseCommand):
    help = "Read a backup, all of it, and compare it with its manifest; nothing is restored."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "backup",
            type=Path,
            nargs="?",
            help="a backup, or a folder of them: the newest; else the shop's newest",
        )
        parser.add_argument(
            "--deep", action="store_true", help="restore it into a folder that goes away again"
        )

    def handle(self, *_args: Any, backup: Path | None, deep: bool, **_options: Any) -> None:
        try:
            found = layout.find((backup or standing.folder()).resolve())
            said = verifying.verify(found, deep=deep)
        except BackupTrouble as trouble:
            raise CommandError(str(trouble)) from trouble
        restored = " It was restored into a folder of its own." if deep else ""
        self.stdout.write(
            f"{found.name} is good: {said.shop or 'a shop'}, {said.made_at[:16]} UTC, {said.rows} records, "
            f"{len(said.files)} files, {said.bytes} bytes.{restored}"
        )
