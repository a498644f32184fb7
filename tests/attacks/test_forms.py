"""Forms from another site, looks that change something, fields that nobody asked for."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.db import connection
from django.test import Client
from django.urls import get_resolver

from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.models import Staff
from tests import shelves
from tests.attacks.walking import pages
from tests.factories import DamageFactory
from tests.test_junk import named_pages

pytestmark = pytest.mark.django_db

OUTSIDE = ("status", "cover-page", "passing", "self-check", "enquiry", "parcel-slip")
FORM = "application/x-www-form-urlencoded"
MAKES_READY = {
    "job-check-in": {"pricing_pricerules", "shop_loadfigures", "work_workrules"},
    "self-check-offline": {"gear_pattern", "gear_tube", "gear_panel", "gear_valve"},
    "repairs": {"pricing_repair"},
    "ready": {"shop_dailyrun"},
}
"""The tables that a first look may write, with what nobody told the shop: figures and everyday patterns that
every shop has, the repairs proposed for a damage, that the database can be written."""
NOW_AND_THEN = {"ready"}
"""Writes anew when its last try is a while ago."""
LOOKS = ({}, {"X-HTTP-Method-Override": "DELETE", "X-Method-Override": "POST"}, {"HX-Request": "true"})


@pytest.fixture
def damage(db) -> Damage:
    return DamageFactory()


def test_no_page_of_the_shop_takes_a_form_without_the_key_of_its_own_page(damage, owner):
    """All but those for people outside, who check it themselves so that nothing typed is lost."""
    unchecked = {
        page.name
        for page in named_pages(get_resolver().url_patterns)
        if getattr(page.callback, "csrf_exempt", False)
    }
    assert all(name.startswith(OUTSIDE) for name in unchecked), unchecked
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(owner)
    strict.get("/")
    with writes() as written:
        for where in ("/office/settings/", "/office/people/add/", f"/jobs/{damage.job.number}/stage/"):
            for method in ("POST", "PUT", "PATCH", "DELETE"):
                assert strict.generic(method, where, b"name=x", FORM).status_code == 403
    assert not written


@pytest.mark.soak
def test_looking_at_any_page_changes_nothing_whatever_the_headers_say(damage, owner, as_person):
    shelves.stocked()
    client = as_person(owner)
    client.raise_request_exception = False
    client.get("/")
    there = list(pages(damage, papers=False))
    for name, where in there:
        if name in MAKES_READY:
            with writes() as written:
                client.get(where).getvalue()
            assert tables(written) <= MAKES_READY[name], name
    changed = {}
    for place, (name, where) in enumerate(there):
        send = (client.get, client.head)[place % 2]
        with writes() as written:
            send(where, {"_method": "DELETE"}, headers=LOOKS[place % 3]).getvalue()
        if tables(written) - (MAKES_READY[name] if name in NOW_AND_THEN else set()):
            changed[name] = written
    assert not changed


def tables(written: list[str]) -> set[str]:
    """Which tables the statements write to."""
    return {re.search(r'"(\w+)"', sql)[1] for sql in written}


@contextmanager
def writes() -> Iterator[list[str]]:
    """What is written to the database meanwhile, but for the counting of tries that opened nothing."""
    found: list[str] = []

    def watch(execute, sql, params, many, context):
        if re.match(r"\s*(INSERT|UPDATE|DELETE|REPLACE)\b", sql) and '"shop_attempt"' not in sql:
            found.append(sql)
        return execute(sql, params, many, context)

    with connection.execute_wrapper(watch):
        yield found


def test_a_form_cannot_reach_fields_that_it_does_not_show(damage, bench, as_person):
    """Role, price and stage sent along with a form that is allowed are as if they were not there."""
    client, job = as_person(bench), damage.job
    more = {
        "role": "owner",
        "is_superuser": "on",
        "is_staff": "1",
        "stage": "handed_back",
        "customer_id": "1",
        "urgency": "0",
        "created_by": bench.pk,
        "shop": "2",
    }
    client.post("/my/units/", {"pressure_unit": "psi", "length_unit": "", "temperature_unit": "", **more})
    client.post(f"/jobs/{job.number}/correct/", {"what": "visit", "version": job.version, **more})
    bench.refresh_from_db()
    again = Job.objects.get(pk=job.pk)
    assert (bench.role, bench.is_superuser, bench.is_staff) == (Staff.Role.BENCH, False, False)
    assert (again.stage, again.customer_id) == (job.stage, job.customer_id)


def test_what_belongs_to_another_job_is_answered_as_what_never_was(damage, counter, as_person):
    client, other = as_person(counter), DamageFactory(number=7)
    mine = f"/jobs/{damage.job.number}/damages"
    theirs = client.get(f"{mine}/{other.number}/")
    never = client.get(f"{mine}/99/")
    assert (theirs.status_code, never.status_code) == (404, 404)
    assert shown(theirs) == shown(never)
    with writes() as written:
        for where in (f"{mine}/{other.number}/", f"{mine}/{other.number}/remove/"):
            assert client.post(where, {"kind": "cut"}).status_code == 404
    assert not written


def shown(answer) -> str:
    """The page without its number and keys."""
    return re.sub(r'"[A-Za-z0-9]{32,64}"|\b[a-z0-9]{8}\b', "", answer.content.decode())
