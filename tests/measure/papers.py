"""What a work order costs, beside a one-line document and a naive layout, and what asking for one costs.

Times are the shortest of many, taken in turn in one process, as processor time where nothing runs beside
it; only their ratios are told. The one-line document sets up its own fonts, as whoever writes one does.
"""

import gc
import os
import statistics
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import Any

from tests.measure import work_order
from tests.measure.asking import ask, cookies_of, within_a_transaction
from tests.measure.said import Said

ROUNDS = int(os.environ.get("SHOPREPAIR_ROUNDS") or 20)
WARM = 3
SEVERAL, TURNS = 4, 6
"""Papers made by one and by two processes, in many short turns: one of them meets idle processors."""
ASKED, SLOTS = 150, 5
HELD_UP_AT_MOST = 1.2


def measured() -> Iterator[Said]:
    """All figures, in the shop that Django is set up with; nothing of what is made for it stays."""
    from django.conf import settings
    from django.db import transaction

    before = settings.MEDIA_ROOT
    with tempfile.TemporaryDirectory() as folder, within_a_transaction(), transaction.atomic():
        settings.MEDIA_ROOT = folder
        try:
            yield from _figures()
        finally:
            settings.MEDIA_ROOT = before
            transaction.set_rollback(True)


def _figures() -> Iterator[Said]:
    job = work_order.job()
    order = work_order.order(job)
    yield from _made(job, order)
    yield _two_against_one(order)
    cookies = _logged_in()
    yield from _kept_against_a_photo(job, cookies)
    yield _page_beside_papers(order, cookies)


def _made(job: Any, order: Any) -> Iterator[Said]:
    """The anchors: a line of text, the naive layout, and the words of the paper without any layout."""
    from weasyprint import HTML

    from shoprepair.papers.printing import pages

    naive, words = work_order.naive(job, order), work_order.its_words(order)
    made, plain = pages.made(order), naive()
    taken = _taken(
        {
            "ours": partial(pages.made, order),
            "naive": naive,
            "words": partial(pages.made, words),
            "line": lambda: HTML(string="<p>Hello").write_pdf(),
        }
    )
    best = {name: min(times) for name, times in taken.items()}
    note = f"its words alone, a bare paragraph each: {best['words'] / best['line']:.1f} ×"
    yield Said("a work order against a one-line document", best["ours"] / best["line"], 12, note=note)
    yield Said("a work order against the naive layout of the same", best["ours"] / best["naive"], 0.65)
    ours = sorted(taken["ours"])
    high = ours[int(len(ours) * 0.95) - 1]
    yield Said("the slowest twentieth against the middle", high / statistics.median(ours), 1.3)
    yield Said("its bytes against the naive one's", len(made) / len(plain), 0.4)


def _taken(acts: dict[str, Callable[[], object]]) -> dict[str, list[float]]:
    """As the processes do it: what is loaded is frozen, and is collected between papers."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(200_000, 50, 1_000)
    taken: dict[str, list[float]] = {name: [] for name in acts}
    for turn in range(ROUNDS + WARM):
        for name, act in acts.items():
            gc.collect()
            began = time.process_time()
            act()
            if turn >= WARM:
                taken[name].append(time.process_time() - began)
    return taken


def _two_against_one(order: Any) -> Said:
    """Papers a second by two processes and by one; it needs two cores with nothing else to do."""
    from shoprepair.papers.printing import bounded

    best = {1: 0.0, 2: 0.0}
    for _turn in range(TURNS):
        for people in best:
            with ThreadPoolExecutor(people) as pool:
                list(pool.map(bounded.make, [order] * people))
                began = time.perf_counter()
                list(pool.map(bounded.make, [order] * SEVERAL))
                best[people] = max(best[people], SEVERAL / (time.perf_counter() - began))
    return Said("two processes against one", best[2] / best[1], 1.8, "least", note=_beside())


def _kept_against_a_photo(job: Any, cookies: str) -> Iterator[Said]:
    """Request against request: the work order that was made before, and one photo of the same job."""
    from django.urls import reverse

    from shoprepair.papers import asked_again

    paper = reverse("work-order", args=[job.number])
    photo = reverse("photo", args=[job.photos.first().key, "large"])
    acts = {"paper": partial(ask, paper, cookies), "photo": partial(ask, photo, cookies)}
    sizes = {name: len(act()) for name, act in acts.items()}
    asked_again.forget()
    acts["paper"]()
    note = f"{sizes['paper'] // 1000} KB against {sizes['photo'] // 1000} KB"
    yield Said("asking for a kept paper against asking for a photo", _middle(acts), 1.1, note=note)
    first = {"paper": lambda: (asked_again.forget(), acts["paper"]()), "photo": acts["photo"]}
    yield Said("the same, of a process that was never asked for it", _middle(first, 15), 8)


def _middle(acts: dict[str, Callable[[], object]], times: int = ASKED) -> float:
    """The first against the second, each round's two against each other: both wander with the machine."""
    taken = _in_turn(acts, times)
    return statistics.median(one / other for one, other in zip(*taken.values(), strict=True))


def _page_beside_papers(order: Any, cookies: str) -> Said:
    """The rack, asked for in this process while another makes papers without a pause, and while none does."""
    from django.urls import reverse

    from shoprepair.papers.printing import bounded, pages

    page = partial(ask, reverse("rack"), cookies)
    bounded.make(order)
    apart = _held_up(page, partial(bounded.make, order))
    within = _held_up(page, partial(pages.made, order))
    bounded.end()
    note = f"made in the page's own process it is {within:.1f} ×; {_beside()}".rstrip("; ")
    return Said("a page while papers are made, medians", apart, HELD_UP_AT_MOST, note=note)


def _held_up(page: Callable[[], object], paper: Callable[[], object]) -> float:
    """Quiet and busy slots in turn, so that what else the machine does falls on both."""
    taken: dict[bool, list[float]] = {False: [], True: []}
    for slot in range(2 * SLOTS):
        busy = bool(slot % 2)
        with _at_work(paper if busy else None):
            taken[busy] += _in_turn({"page": page}, ASKED // 10)["page"]
    return statistics.median(taken[True]) / statistics.median(taken[False])


class _at_work:  # noqa: N801 - read as a sentence after `with`
    """Somebody else who makes one paper after the other meanwhile."""

    def __init__(self, paper: Callable[[], object] | None) -> None:
        self._done = threading.Event()
        self._thread = threading.Thread(target=self._work, args=[paper]) if paper else None

    def __enter__(self) -> None:
        if self._thread:
            self._thread.start()
            time.sleep(0.05)

    def __exit__(self, *_error: object) -> None:
        self._done.set()
        if self._thread:
            self._thread.join()

    def _work(self, paper: Callable[[], object]) -> None:
        while not self._done.is_set():
            paper()


def _in_turn(acts: dict[str, Callable[[], object]], times: int = ASKED) -> dict[str, list[float]]:
    taken: dict[str, list[float]] = {name: [] for name in acts}
    for _turn in range(times):
        for name, act in acts.items():
            began = time.perf_counter()
            act()
            taken[name].append(time.perf_counter() - began)
    return taken


def _logged_in() -> str:
    from django.test import Client

    from shoprepair.shop.models import Staff

    client = Client()
    client.force_login(Staff.objects.filter(role=Staff.Role.COUNTER, is_active=True).order_by("pk")[0])
    return cookies_of(client)


def _beside() -> str:
    busy = os.getloadavg()[0]
    return f"with {busy:.0f} others at work" if busy > 3 else ""
