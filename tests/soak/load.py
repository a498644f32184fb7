"""Who works in a shop that is killed again and again: at the counter, the till, the bench, and outside.

Each sends a form, and goes on only when it was acknowledged. What got no answer is sent again, as it was,
once the shop answers again.
"""

import io
import itertools
import re
import threading
import time
from collections.abc import Generator, Iterable
from dataclasses import dataclass, field
from typing import Any

from PIL import Image

from tests.soak.client import Browser, NoAnswer

CUT_AT = "kind=wing&size=medium&at=front-centre&look=cut&length=coin"
MOST_ENQUIRIES = 90
"""A shop takes 200 a day, and a try that was killed counts too."""


@dataclass(frozen=True, slots=True)
class Act:
    """One form on its way, under a key by which it is known again."""

    what: str
    path: str
    key: str = ""
    fields: dict[str, str] = field(default_factory=dict)
    photo: str = ""
    """The name of the field that carries a photo."""
    job: int = 0
    by: Browser | None = None
    """Somebody else than whoever does the rest."""

    def told(self) -> dict[str, Any]:
        """What the judge is told of it."""
        return {"what": self.what, "key": self.key, "job": self.job}


Work = Generator[Act, str, None]


class Ledger:
    """What was acknowledged, what got no answer, and what went wrong."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self.acknowledged: list[dict[str, Any]] = []
        self.unsure: dict[str, dict[str, Any]] = {}
        self.trouble: list[str] = []
        self.asked_again = 0
        self.waits_s: list[float] = []

    def acknowledge(self, act: Act, took_s: float) -> None:
        with self._lock:
            self.waits_s.append(took_s)
            self.asked_again += self.unsure.pop(act.key, None) is not None
            self.acknowledged.append(act.told())

    def doubt(self, act: Act) -> None:
        with self._lock:
            self.unsure[act.key] = act.told()

    def complain(self, act: Act, status: int, told: str) -> None:
        with self._lock:
            self.trouble.append(f"{act.what} {act.path}: {status} {told[:300]}")

    def grows(self, by: int, patience_s: float) -> None:
        """Wait until so many more are acknowledged: on a slow machine that takes longer."""
        until, enough = time.monotonic() + patience_s, len(self.acknowledged) + by
        while len(self.acknowledged) < enough and time.monotonic() < until:
            time.sleep(0.01)

    def stands(self) -> dict[str, Any]:
        """As it is now, for the judge."""
        with self._lock:
            return {"acknowledged": list(self.acknowledged), "unsure": list(self.unsure.values())}


class Person:
    """Somebody who does one form after the other."""

    def __init__(self, browser: Browser, work: Work, ledger: Ledger, pause_s: float = 0) -> None:
        self.browser, self.work, self.ledger, self.pause_s = browser, work, ledger, pause_s
        self.next: Act | None = next(self.work)

    def live(self, over: threading.Event) -> None:
        """Work until the shop goes silent, or it is over, or there is nothing more to do."""
        while self.next and not over.is_set():
            try:
                self._do(self.next)
            except NoAnswer:
                if self.next.key:
                    self.ledger.doubt(self.next)
                return
            over.wait(self.pause_s)

    def _do(self, act: Act) -> None:
        browser, began = act.by or self.browser, time.monotonic()
        if not act.key:
            status, told = browser.get(act.path)
        else:
            status, told = browser.post(act.path, act.fields, (act.photo, PHOTO) if act.photo else None)
        if status == 503:
            return
        if status >= 400 or (act.key and status == 200):
            self.ledger.complain(act, status, told)
        elif act.key:
            self.ledger.acknowledge(act, time.monotonic() - began)
        try:
            self.next = self.work.send(told)
        except StopIteration:
            self.next = None


def _picture() -> bytes:
    file = io.BytesIO()
    Image.effect_noise((800, 600), 60).convert("RGB").save(file, "JPEG")
    return file.getvalue()


PHOTO = _picture()
_numbers = itertools.count(1)


def _act(
    what: str, path: str, photo: str = "", job: int = 0, by: Browser | None = None, **fields: str
) -> Act:
    key = fields.pop("key", "") or f"{what}-{next(_numbers)}"
    return Act(what, path, key, {"key": key, **fields}, photo, job, by)


def taking_in(fresh: Iterable[list[int]]) -> Work:
    """Check wings in: the visit, two pins, a photo."""
    for customer, wing in fresh:
        where = yield _act("start", "/check-in/start/", customer=str(customer), inflatable=str(wing))
        job = int(re.findall(r"/jobs/(\d+)/", where)[0])
        for x in ("0.300", "-0.400"):
            yield _act("pin", f"/jobs/{job}/pin/", job=job, x=x, y="0.020")
        act = _act("photo", f"/jobs/{job}/photos/", photo="photo", job=job)
        act.fields["caption"] = act.key
        yield act


def at_the_till(ready: Iterable[int]) -> Work:
    """Take what is due in five parts, and hand the gear back."""
    for job in ready:
        for _ in range(5):
            act = _act("pay", f"/jobs/{job}/payments/", job=job, amount="22.00", method="cash")
            act.fields["note"] = act.key
            yield act
        said = {"taker_name": "Ilka Sandvoort", "known_by": "tag", "on_paper": "on"}
        yield _act("give", f"/jobs/{job}/hand-back/give/", job=job, **said)


def at_the_bench(step: int) -> Work:
    """Start a step, do it, take it back; and again."""
    for verb in itertools.cycle(("start", "done", "undo")):
        yield _act("tick", "/bench/ticks/", step=str(step), verb=verb, device="1")


def outside(port: int) -> Work:
    """One enquiry with a photo after the other, each by somebody else from elsewhere."""
    path = f"/self-check/enquiry/?{CUT_AT}"
    for number in range(MOST_ENQUIRIES):
        somebody = Browser(port, f"127.0.{1 + number // 200}.{1 + number % 200}")
        page = yield Act("look", path, by=somebody)
        found = re.search(r'name="key" value="([^"]+)"', page)
        if not found:
            continue
        said = {"name": f"Ilka Sandvoort {number}", "contact": f"ilka{number}@sandvoort.example"}
        yield _act("enquiry", path, "photos", by=somebody, comes="by-hand", key=found[1], **said)
