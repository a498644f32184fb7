"""`manage.py second_factor --remove NAME`: for the owner whose phone and written codes are both lost."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shoprepair.shop import second_factor
from shoprepair.shop.models import Staff


class Command(BaseCommand):
    help = "Says who logs in with a second factor; with --remove asks that person for the password alone."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--remove", metavar="NAME", help="the log-in name of whoever is to get in again")

    def handle(self, *_args: Any, **options: Any) -> None:
        if options["remove"]:
            self._remove(options["remove"])
            return
        for person in Staff.objects.order_by("username"):
            asked = "password and code" if second_factor.is_set_up(person) else "password"
            self.stdout.write(f"{person.username}: {asked}")

    def _remove(self, username: str) -> None:
        person = Staff.objects.filter(username__iexact=username).first()
        if person is None:
            raise CommandError(f"Nobody logs in as {username}.")
        if not second_factor.remove(person, who=None, who_name="whoever keeps this machine"):
            raise CommandError(f"{person} has no second factor; the password alone lets them in.")
        self.stdout.write(f"{person} logs in with the password alone now, and can set it up again.")
