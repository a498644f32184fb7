from typing import Any

from django.core.management.base import BaseCommand

from shoprepair.gear import library


class Command(BaseCommand):
    help = "Bring the library's cloths and patterns into the database; running it again doubles nothing."

    def handle(self, *_args: Any, **_options: Any) -> None:
        self.stdout.write(f"{len(library.load())} patterns are in the library.")
