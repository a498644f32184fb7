import sys
from typing import Any

from django.core.management.base import BaseCommand

from shoprepair.cover import chain
from shoprepair.cover.models import Cover


class Command(BaseCommand):
    help = (
        "Check that no cover, nor a photo of one, was changed outside the program; name the first that was."
    )

    def handle(self, *_: Any, **__: Any) -> None:
        if broken := chain.first_broken() or chain.first_photo_changed():
            self.stderr.write(broken.what)
            sys.exit(1)
        count = Cover.objects.count()
        last = Cover.objects.order_by("-number").values_list("digest", flat=True).first() or ""
        self.stdout.write(f"{count} covers, each as it was given.{f' Last digest: {last}' if last else ''}")
