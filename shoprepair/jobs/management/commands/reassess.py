from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from shoprepair.jobs.reassessment import reassess


class Command(BaseCommand):
    help = "Judge the damages of all open jobs anew and say what came out differently."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--after", type=int, default=0, help="Go on after this job key, as an earlier run said."
        )
        parser.add_argument("--closed", action="store_true", help="Also the closed jobs.")

    def handle(self, *_: Any, **options: Any) -> None:
        judged = changed = 0
        last = options["after"]
        try:
            for key, change in reassess(after=last, closed=options["closed"]):
                judged, last = judged + 1, key
                if change:
                    changed += 1
                    self.stdout.write(str(change))
        except BaseException:
            self.stderr.write(f"Broken off. Go on with: manage.py reassess --after {last}")
            raise
        self.stdout.write(f"{judged} jobs judged, {changed} came out differently.")
