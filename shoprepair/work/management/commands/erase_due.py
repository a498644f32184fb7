from typing import Any

from django.core.management.base import BaseCommand

from shoprepair.jobs.erasure import remove_files
from shoprepair.work.personal import erase_due


class Command(BaseCommand):
    help = "Finish erasures: names on invoices whose years are over, files of erased photos that were left."

    def handle(self, *_args: Any, **_options: Any) -> None:
        self.stdout.write(f"{erase_due()} invoices no longer name anybody; {remove_files()} files are gone.")
