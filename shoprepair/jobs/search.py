"""Finding a customer, their gear or a job while typing: every word typed is the beginning of a known word.

Words are folded first: cases, accents and marks do not count, in any script. They are kept in an
index of their own, so that a search costs the same with a hundred customers and a hundred thousand.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db import connection
from django.db.models import Exists, F, OrderBy, OuterRef, Prefetch, Q
from django.utils.translation import gettext

from shoprepair.gear.models import Inflatable
from shoprepair.jobs.expected import with_awaited
from shoprepair.jobs.models import Customer, Job, Ownership, SearchWord

CANDIDATES = 60
LONGEST_WORD = 60
_HIGHEST_LETTER = "\U0010ffff"
_UNMARKED = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "æ": "ae", "œ": "oe", "þ": "th", "ð": "d", "ı": "i", "ħ": "h", "ـ": ""}
)
_SHORTEST_PHONE_END = 3


@dataclass(frozen=True, slots=True)
class Found:
    """One customer found, with what is theirs."""

    customer: Customer
    inflatables: tuple[Inflatable, ...]
    jobs: tuple[Job, ...]
    """Newest first; the open ones before the closed."""
    why: str
    """The words by which they were found, as far as the name does not show them: a serial, a phone number."""


def fold(text: str) -> str:
    """Letters without case, accents, vowel points or ligatures: "Müller" and "MULLER" are one."""
    split = unicodedata.normalize("NFKD", text.casefold()).translate(_UNMARKED)
    return unicodedata.normalize("NFKD", "".join(c for c in split if not unicodedata.combining(c))).casefold()


def terms(text: str) -> list[str]:
    """The folded words of what was typed; an e-mail address stays whole."""
    found: list[str] = []
    for piece in fold(text).split():
        found += [piece] if "@" in piece else _pieces(piece)
    return list(dict.fromkeys(word[:LONGEST_WORD] for word in found if word))[:8]


def find(text: str, limit: int = 20) -> list[Found]:
    """Customers of whom every typed word is the beginning of a known word, the likeliest first."""
    wanted = terms(text)
    candidates = _candidates(wanted) if wanted else []
    jobs = with_awaited(Job.objects.select_related("inflatable__pattern").order_by("-is_open", "-id"))
    # The gear's own visits too: those under a former owner count for whether it is here.
    owned = Ownership.objects.filter(until=None).select_related("inflatable__pattern").order_by("id")
    owned = owned.prefetch_related(Prefetch("inflatable__jobs", queryset=jobs))
    customers = Customer.objects.filter(pk__in=candidates).prefetch_related(
        Prefetch("jobs", queryset=jobs), Prefetch("ownerships", queryset=owned)
    )
    found = [_found(customer, wanted) for customer in customers]
    return sorted(found, key=lambda one: _order(one, wanted))[:limit]


def customers_matching(text: str) -> list[int]:
    """Keys of the customers that `find` would consider."""
    wanted = terms(text)
    return _candidates(wanted) if wanted else []


def index(customer: Customer) -> None:
    """Bring the customer's search words up to date. Call it inside the transaction that changed them."""
    wanted = set(_words(customer))
    known = SearchWord.objects.filter(customer=customer)
    present = set(known.values_list("word", flat=True))
    if gone := present - wanted:
        known.filter(word__in=gone).delete()
    SearchWord.objects.bulk_create(
        [SearchWord(customer=customer, word=word) for word in sorted(wanted - present)], ignore_conflicts=True
    )


def _candidates(wanted: list[str]) -> list[int]:
    """Keys of customers who know every wanted word, found from the longest, at most CANDIDATES of them."""
    longest, *others = sorted(wanted, key=len, reverse=True)
    rows = SearchWord.objects.filter(_begins(longest))
    for other in others:
        rows = rows.filter(Exists(SearchWord.objects.filter(_begins(other), customer=OuterRef("customer"))))
    keys = rows.order_by(_AsIndexed(F("word"))).values_list("customer", flat=True)[: CANDIDATES * 3]
    return list(dict.fromkeys(keys))[:CANDIDATES]


class _AsIndexed(OrderBy):
    """By letters alone, in no language's order: as words stand in the index of their beginnings."""

    def as_postgresql(self, compiler: Any, connection: Any) -> Any:
        # Django looks for the word that ends what is ordered by.
        return super().as_sql(compiler, connection, template="%(expression)s USING ~<~ /* ASC */")


def _begins(word: str) -> Q:
    """Rows whose word begins so, said in the way that each database can seek."""
    if connection.vendor == "sqlite":
        return Q(word__gte=word, word__lt=word + _HIGHEST_LETTER)
    return Q(word__startswith=word)


def _found(customer: Customer, wanted: list[str]) -> Found:
    jobs = tuple(customer.jobs.all())
    inflatables = tuple(ownership.inflatable for ownership in customer.ownerships.all())
    name = set(_name_words(customer.name))
    unseen = [word for word in wanted if not _known(word, name)]
    return Found(customer, inflatables, jobs, ", ".join(_why(customer, inflatables, jobs, unseen)))


def _why(
    customer: Customer, inflatables: tuple[Inflatable, ...], jobs: tuple[Job, ...], unseen: list[str]
) -> list[str]:
    """The facts that say most of the words which the name does not show."""
    facts = [
        (customer.phone, _phone_words(customer.phone)),
        (customer.email, _email_words(customer.email)),
        *((item.serial, _serial_words(item.serial)) for item in inflatables),
        *((gettext("job %(job)s") % {"job": job}, _job_words(job.number)) for job in jobs),
    ]
    said = [(sum(_known(word, words) for word in unseen), label) for label, words in facts]
    most = max(hits for hits, _ in said)
    return [label for hits, label in said if hits == most > 0][:3]


def _known(word: str, words: Iterable[str]) -> bool:
    return any(known.startswith(word) for known in words)


def _order(found: Found, wanted: list[str]) -> tuple[int, int, int, str]:
    """Whole words before beginnings, then who has a job here, then the newest job, then the name."""
    known = set(_words_of(found.customer, found.inflatables, found.jobs))
    whole = sum(word in known for word in wanted)
    open_jobs = sum(job.is_open for job in found.jobs)
    newest = found.jobs[0].pk if found.jobs else 0
    return (-whole, -min(open_jobs, 1), -newest, fold(found.customer.name))


def _words(customer: Customer) -> Iterator[str]:
    owned = Inflatable.objects.filter(ownerships__customer=customer, ownerships__until=None)
    yield from _words_of(customer, owned, Job.objects.filter(customer=customer).only("number"))


def _words_of(customer: Customer, inflatables: Iterable[Inflatable], jobs: Iterable[Job]) -> Iterator[str]:
    yield from _name_words(customer.name)
    yield from _phone_words(customer.phone)
    yield from _email_words(customer.email)
    for item in inflatables:
        yield from _serial_words(item.serial)
    for job in jobs:
        yield from _job_words(job.number)


def _pieces(folded: str) -> list[str]:
    """Runs of letters and digits; an apostrophe joins, anything else parts."""
    return re.findall(r"[^\W_]+", re.sub(r"['’‘ʼ`]", "", folded))


def _name_words(name: str) -> list[str]:
    apart = re.findall(r"[^\W_]+", fold(name))
    return [word[:LONGEST_WORD] for word in dict.fromkeys([*_pieces(fold(name)), *apart])]


def _phone_words(phone: str) -> list[str]:
    """Every end of the number, so that a search may begin at any digit of it."""
    digits = "".join(str(unicodedata.digit(c)) for c in phone if c.isdigit())
    return [digits[start:] for start in range(len(digits) - _SHORTEST_PHONE_END + 1)]


def _email_words(email: str) -> list[str]:
    folded = fold(email)
    if not folded:
        return []
    name, _, host = folded.partition("@")
    return [
        word[:LONGEST_WORD]
        for word in dict.fromkeys([folded, *_pieces(name), f"@{host}", *_pieces(host)[:-1]])
    ]


def _serial_words(serial: str) -> list[str]:
    pieces = _pieces(fold(serial))
    return list(dict.fromkeys(word[:LONGEST_WORD] for word in ["".join(pieces), *pieces] if word))


def _job_words(number: int) -> list[str]:
    return list(dict.fromkeys([str(number), f"{number:04d}"]))
