"""Work that is done beside the requests of a served shop: nobody waits for a plan of the whole bench."""

import threading
import time
from collections.abc import Callable

from django.db import connections

PAUSE_S = 2.0


class Beside:
    """Does one thing soon, in a thread of its own: what is asked for in quick succession is done once.

    Until `begin` was called it is done at once, as in commands and tests.
    """

    def __init__(self, do: Callable[[], None], pause_s: float = PAUSE_S) -> None:
        self._do, self._pause_s = do, pause_s
        self._wanted = threading.Event()
        self._thread: threading.Thread | None = None

    def begin(self) -> None:
        """From now on do it beside. Called in each process that serves, after it parted from its parent."""
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, name="beside", daemon=True)
            self._thread.start()

    def ask(self) -> None:
        """Let it be done: soon where `begin` was called, else now."""
        if self._thread is None:
            self._do()
        else:
            self._wanted.set()

    def _run(self) -> None:
        while self._wanted.wait():
            time.sleep(self._pause_s)
            self._wanted.clear()
            try:
                self._do()
            finally:
                connections.close_all()
