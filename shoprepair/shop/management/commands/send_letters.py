import signal
import threading
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from shoprepair.shop.outbox import worker


class Command(BaseCommand):
    help = "Send the letters that wait in the outbox, until it is told to stop; --once sends what is due now."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="send what is due and end")

    def handle(self, *_args: Any, once: bool, **_options: Any) -> None:
        stop = threading.Event()
        before = {number: _set_on(number, stop) for number in (signal.SIGTERM, signal.SIGINT)}
        try:
            if once:
                worker.send_due(stop=stop)
            else:
                worker.run(stop=stop)
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)


def _set_on(number: signal.Signals, stop: threading.Event) -> Any:
    return signal.signal(number, lambda _number, _frame: stop.set())
