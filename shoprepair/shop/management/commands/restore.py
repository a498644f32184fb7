import os
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection, connections

from shoprepair.shop import damaged
from shoprepair.shop.backup import elsewhere, layout, restoring, restoring_server, standing
from shoprepair.shop.backup.layout import BackupTrouble
from shoprepair.shop.backup.restoring import Restored


class Command(BaseCommand):
    help = "Bring a backup back: into an empty folder of data, or in place of a shop that is kept aside."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "backup",
            type=Path,
            nargs="?",
            help="a backup, or a folder of them: the newest; else the shop's newest",
        )
        parser.add_argument("--replace", action="store_true", help="keep the shop that is here aside")
        parser.add_argument(
            "--files", action="store_true", help="only put back photos that are missing or broken"
        )
        parser.add_argument(
            "--file", default="", metavar="NAME", help="only put back this one of them, or those of one photo"
        )

    def handle(
        self, *_args: Any, backup: Path | None, replace: bool, files: bool, file: str, **_options: Any
    ) -> None:
        try:
            found = layout.find((backup or standing.folder()).resolve())
            if files or file:
                mended = restoring.mend(found, file)
                for name in mended if file else ():
                    self.stdout.write(name)
                self.stdout.write(f"{len(mended)} files of photos were put back from {found.name}.")
                return
            self._say(self._restored(found, replace))
        except BackupTrouble as trouble:
            raise CommandError(str(trouble)) from trouble
        except OSError as error:
            raise CommandError(
                f"The disk did not take it: {error.strerror}. Nothing was replaced."
            ) from error

    def _restored(self, backup: Path, replace: bool) -> Restored:
        data = Path(settings.DATA_DIR)
        connections.close_all()
        if connection.vendor == "postgresql":
            restored = restoring_server.restore(backup, data, replace=replace)
        else:
            restored = restoring.restore(backup, data, replace=replace)
        damaged.clear()
        if restored.older:
            elsewhere.lay_out("default")
        return restored

    def _say(self, restored: Restored) -> None:
        said = restored.manifest
        self.stdout.write(
            f"{said.shop or 'The shop'} is here again as of {said.made_at[:16]} UTC: {said.rows} records, "
            f"{said.photos} files of photos. Everybody logs in anew."
        )
        if restored.older:
            self.stdout.write("Its tables were brought up to date.")
        if restored.aside:
            self.stdout.write(f"What was here before is kept in {restored.aside}.")
        if restored.held:
            self.stdout.write(
                f"{restored.held} letters that waited are held: look at them under Office, Letters."
            )
        if (key := os.environ.get("SECRET_KEY")) and layout.fingerprint(key) != said.key:
            self.stderr.write(
                "SECRET_KEY is not the key of this shop: links that customers have will not open."
            )
        elif not key and not said.key_inside:
            self.stderr.write(
                "The backup has no key in it: set SECRET_KEY as it was, or customers' links will not open."
            )
