"""Whatever anybody sends to any page, the answer is a page or a refusal, never a fault of the program."""

import random
from collections.abc import Iterator

import pytest
from django.urls import NoReverseMatch, URLPattern, get_resolver, reverse

from shoprepair.gear import library
from tests.factories import DamageFactory

JUNK = (
    *("", "\x00", "-1", "0", "9" * 30, "1e400", "nan", "inf", "٣", "１２", "²", "é", "\u202eabc", "None"),
    *("<b>x</b>", "{{7*7}}", "%s", "'; drop", "../../etc", "a" * 5000, "2026-13-45", "70 bar", "3 m"),
)
FIELDS = """
    x y key next kind length direction angle face fold condition through_bladder old_patch wet softens
    stitched_left under_kind note version customer inflatable name phone email serial colour bought_year
    pattern span diameter_centre diameter_tip pressure struts pumping support promised_on came_with
    arrived_wet terms to from reason hold number q band stage after damage removed move text role username
    password1 password2 pressure_unit length_unit currency temperature_unit time_zone paper usual_days
    week_begins test_pressure_factor area_m2 strength_warp subject body look
""".split()  # noqa: SIM905 - seventy names, read as a paragraph
ROUNDS = 2


def named_pages(patterns) -> Iterator[URLPattern]:
    for pattern in patterns:
        if hasattr(pattern, "url_patterns"):
            yield from named_pages(pattern.url_patterns)
        elif pattern.name not in (None, "logout"):
            yield pattern


def address(page, damage):
    known = {
        "number": damage.job.number,
        "damage_number": damage.number,
        "customer_id": damage.job.customer_id,
        "key": "abc",
        "size": "small",
        "code": "quote-out",
        "week": "2026-w05",
    }
    given = {name: known.get(name, 1) for name in page.pattern.converters}
    try:
        return reverse(page.name, kwargs=given)
    except NoReverseMatch:
        return reverse(page.name, kwargs=given | {"what": "visit"})


@pytest.mark.django_db
def test_junk_sent_to_any_page_never_breaks_it(client, owner):
    library.load()
    damage = DamageFactory()
    client.raise_request_exception = False
    chance, broken = random.Random(3), []
    for page in named_pages(get_resolver().url_patterns):
        client.force_login(owner)
        url = address(page, damage)
        for _ in range(ROUNDS):
            sent = {field: chance.choice(JUNK) for field in chance.sample(FIELDS, 45)}
            for send in (client.get, client.post):
                answer = send(url, sent, headers=chance.choice(({}, {"HX-Request": "true"})))
                if answer.status_code >= 500:
                    broken.append((page.name, answer.request["REQUEST_METHOD"], str(sent)))
                # Read to its end, which closes the file that it comes from.
                answer.getvalue()
    assert not broken, broken
