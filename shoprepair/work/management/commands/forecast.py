from time import perf_counter
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from shoprepair.shop.units import Units, say
from shoprepair.work import forecast


class Command(BaseCommand):
    help = "Reckon anew when each open job will be ready, and say which will be late. Run it each morning."

    def handle(self, *_: Any, **__: Any) -> None:
        began = perf_counter()
        known = forecast.refresh()
        took = perf_counter() - began
        late = forecast.late(timezone.localdate())
        for each in late:
            self.stdout.write(f"{each.job}  {each.words}: {self._why(each)}")
        self.stdout.write(f"{known} dates reckoned in {took:.2f} s, {len(late)} after what was promised.")

    def _why(self, each: forecast.Late) -> str:
        ahead = forecast.of(each.job)
        return say(ahead.sentence, Units()) if ahead else ""
