from typing import Any

from django.core.management.base import BaseCommand

from shoprepair.pricing import catalogue
from shoprepair.pricing.models import Operation


class Command(BaseCommand):
    help = "Bring in the operations and materials that are missing; what the owner changed stays."

    def handle(self, *_args: Any, **_options: Any) -> None:
        new = len(catalogue.load())
        self.stdout.write(f"{Operation.objects.count()} operations are in the catalogue, {new} of them new.")
