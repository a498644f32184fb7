"""Fills an empty shop for the long tests, in a process of its own with a real shop's settings.

`python -m tests.soak.seed 60` prints what there is to do in it as JSON.
"""

import json
import sys

import django

READY_A_ROUND, FRESH_A_ROUND, BENCH_JOBS = 1, 40, 2
PASSWORD = "four-dry-knots-17"


def main(rounds: int) -> None:
    """Write the shop, and print it."""
    from django.core.management import call_command
    from django.db import connections

    for database in connections.all():
        database.ensure_connection()
    call_command("migrate", interactive=False, verbosity=0)
    call_command("collectstatic", interactive=False, verbosity=0)
    print(json.dumps(_filled(rounds)))


def _filled(rounds: int) -> dict[str, object]:
    from shoprepair.shop.models import Staff
    from shoprepair.shop.settings import current
    from tests.factories import StaffFactory
    from tests.pricing.mending import stocked

    shop = current()
    shop.name, shop.self_check_open = "Northquay Loft", True
    shop.save()
    roles = {"runa": Staff.Role.OWNER, "maja": Staff.Role.COUNTER, "tomek": Staff.Role.BENCH}
    people = {
        name: StaffFactory(username=name, first_name=name.title(), role=role, password=PASSWORD)
        for name, role in roles.items()
    }
    stocked()
    return {
        "fresh": _fresh(FRESH_A_ROUND * rounds),
        "ready": [_ready(turn) for turn in range(READY_A_ROUND * rounds)],
        "steps": [_step(people["tomek"]) for _ in range(BENCH_JOBS)],
    }


def _fresh(many: int) -> list[list[int]]:
    """Customers with a wing each, none of which is here yet: [customer, inflatable]."""
    from shoprepair.gear.models import Inflatable
    from shoprepair.jobs.models import Customer, Ownership
    from tests.factories import PatternFactory

    pattern = PatternFactory(name="Petrel of the soak")
    customers = Customer.objects.bulk_create(
        [Customer(name=f"Ilka Sandvoort {n}", phone=f"+1 555 02{n:05d}") for n in range(many)]
    )
    wings = Inflatable.objects.bulk_create(
        [Inflatable(pattern=pattern, serial=f"SK-{n:06d}") for n in range(many)]
    )
    pairs = list(zip(customers, wings, strict=True))
    Ownership.objects.bulk_create([Ownership(customer=whose, inflatable=wing) for whose, wing in pairs])
    return [[whose.pk, wing.pk] for whose, wing in pairs]


def _ready(turn: int) -> int:
    """The number of a job that stands ready, for $110.00."""
    from shoprepair.gear.models import Inflatable, Pattern
    from tests.cover.covering import a_light_visit

    pattern = Pattern.objects.get(name="Petrel of the soak")
    return a_light_visit(Inflatable.objects.create(pattern=pattern, serial=f"RD-{turn:06d}")).number


def _step(who: object) -> int:
    """The first step of a job on the bench."""
    from tests.work.benching import on_the_bench

    return on_the_bench(who).steps.order_by("position").first().pk


if __name__ == "__main__":
    django.setup()
    main(int(sys.argv[1]))
