from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shoprepair.shop import damaged


class Command(BaseCommand):
    help = "Look the embedded database over; while it is damaged the shop takes no changes."

    def handle(self, *_args: Any, **_options: Any) -> None:
        try:
            damaged.check()
        except damaged.Damaged as error:
            raise CommandError(damaged.trouble() or str(error)) from error
        damaged.clear()
        self.stdout.write("The database is whole.")
