"""What the page of a hold test shows."""

from collections.abc import Iterator, Sequence
from math import inf
from typing import Any, NamedTuple
from uuid import uuid4

from django.http import HttpRequest
from django.utils.translation import gettext

from shoprepair.bench.forms.hold import BeginForm, CheckForm, ReadingForm
from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.mechanics.description import Quantity
from shoprepair.shop.languages import gettext_lazy, written
from shoprepair.shop.units import Units, say_length, say_pressure, say_quantity
from shoprepair.work import checks, hold_test, hold_tests, hold_tubes, rules
from shoprepair.work.hold_judging import as_reading
from shoprepair.work.hold_test import Judged
from shoprepair.work.hold_words import as_sure
from shoprepair.work.leak import Leak
from shoprepair.work.models import Check, HoldReading, HoldTest
from shoprepair.work.readings import unit_of
from shoprepair.work.test_pressure import TestPressure

SAID = {
    hold_test.Verdict.HOLDS: gettext_lazy("It holds"),
    hold_test.Verdict.FAILS: gettext_lazy("It does not hold"),
    hold_test.Verdict.OPEN: gettext_lazy("Cannot tell yet"),
}
LONGEST_TUBE_KEY = 20


class Term(NamedTuple):
    """A figure of the leak in its own terms."""

    name: str
    words: str
    at_most: str = ""
    """With the uncertainty counted against the tube."""


class Row(NamedTuple):
    """A reading as the list shows it."""

    number: int
    """As the drawing numbers it; 0 for one that was taken out."""
    kept: HoldReading
    lost: Quantity | None = None
    more: Quantity | None = None
    """Read above what a sound tube would show; then nothing is lost."""


def page(request: HttpRequest, job: Job, **sent: Any) -> dict[str, Any]:
    """Everything about a job's hold test; `sent` brings back a form that was refused."""
    tubes = hold_tests.standing(job)
    chosen = _chosen(tubes, sent.get("key") or request.POST.get("tube") or request.GET.get("tube", ""))
    here = job.stage == Stage.HOLD_TEST
    shown = {
        "job": job,
        "tubes": tubes,
        "tube": chosen,
        "here": here,
        "all_hold": all(each.holds for each in tubes),
        "history": _history(job, chosen),
        "key": uuid4().hex,
        "missing": stages.refusals(job, Stage.READY) if here else [],
        "units": request.units,
        **_second_look(request, job, sent),
    }
    if chosen is not None and here:
        shown |= _running(request, job, chosen, sent)
    return {**shown, **sent}


def asked(job: Job, key: str, pressure_pa: float) -> dict[str, Any]:
    """What a test pressure asks of a tube, or why it cannot be."""
    try:
        of: TestPressure | None = hold_tubes.under_pressure(job, key, pressure_pa)
        refused = ""
    except ValueError as error:
        of, refused = None, str(error)
    return {"asked": of, "asked_refused": refused, "in_the_sun": hold_tubes.in_the_sun(pressure_pa)}


def _chosen(tubes: Sequence[hold_tests.Standing], key: str) -> hold_tests.Standing | None:
    """The tube asked for, else the first that is not through."""
    wanted = next((each for each in tubes if each.key == key[:LONGEST_TUBE_KEY]), None)
    return wanted or next((each for each in tubes if not each.holds), None) or next(iter(tubes), None)


def _running(
    request: HttpRequest, job: Job, tube: hold_tests.Standing, sent: dict[str, Any]
) -> dict[str, Any]:
    test = tube.test
    if test is None or tube.fails:
        proposed = hold_tubes.proposed_pa(job)
        form = sent.get("begin_form") or _begin_form(request.units, proposed, tube.key)
        return {"begin_form": form, **asked(job, tube.key, proposed)}
    return of_test(request, job, test)


def _begin_form(units: Units, proposed_pa: float, key: str) -> BeginForm:
    return BeginForm(units, initial={"pressure": say_pressure(proposed_pa, units), "tube": key})


def of_test(request: HttpRequest, job: Job, test: HoldTest) -> dict[str, Any]:
    """A test with its readings, its verdict so far, and the drawing."""
    kept = list(test.readings.select_related("who"))
    judged = hold_tests.judge(test, [each for each in kept if each.removed_at is None])
    return {
        "test": test,
        "judged": judged,
        "said": SAID[judged.verdict],
        "plot": hold_tests.plot(test, request.units),
        "terms": list(_terms(judged, request.units)),
        "rows": list(_rows(kept, judged)),
        "reading_form": ReadingForm(request.units, initial=_usual_units(kept)),
        **asked(job, test.tube_key, test.pressure_pa),
    }


def _usual_units(kept: Sequence[HoldReading]) -> dict[str, str]:
    """The gauge and the thermometer of the last reading, which is likely to be used again."""
    if not kept:
        return {}
    last = max(kept, key=lambda each: each.pk)
    unit = unit_of(as_reading(last))
    found = {"bar": "bar", "psi": "psi", "kpa": "kPa"}.get(unit)
    warmth = last.temperature_typed[-2:] if last.temperature_typed[-2:] in ("°C", "°F") else None
    return {name: value for name, value in (("pressure_unit", found), ("temperature_unit", warmth)) if value}


def _rows(kept: Sequence[HoldReading], judged: Judged) -> Iterator[Row]:
    lost = {one.reading.instant: as_sure(one) for one in judged.missing}
    numbers = {reading.instant: number for number, reading in enumerate(judged.readings, 1)}
    for each in kept:
        instant = as_reading(each).instant
        if each.removed_at is not None:
            yield Row(0, each)
        else:
            missing = lost.get(instant)
            beside = Quantity(abs(missing), "Pa") if missing else None
            lost_some = missing is not None and missing > 0
            yield Row(numbers[instant], each, *((beside, None) if lost_some else (None, beside)))


def _terms(judged: Judged, units: Units) -> Iterator[Term]:
    leak, worst = judged.leak, judged.leak_at_most
    if leak is None or worst is None:
        return
    first = judged.readings[0].pressure_pa
    for name, say in (
        (gettext("Lost an hour, at one temperature"), lambda of: _loss(of.loss_per_hour, first, units)),
        (gettext("Half its pressure gone after"), lambda of: _time(of.seconds_to_soft, units)),
        (gettext("Like one round hole of"), lambda of: _hole(of.pinhole_m, units)),
        (gettext("Air lost"), _air),
    ):
        best, most = say(leak), say(worst)
        yield Term(name, best, most if most != best else "")


def _loss(share: float, first_pa: float, units: Units) -> str:
    if share <= 0:
        return gettext("nothing")
    percent = written(f"{float(f'{share * 100:.2g}'):g}")
    return f"{percent} %, {say_pressure(share * first_pa, units)}"


def _time(seconds: float, units: Units) -> str:
    return gettext("never") if seconds == inf else say_quantity(Quantity(seconds, "s"), units)


def _hole(metres: float | None, units: Units) -> str:
    return gettext("nothing") if metres is None else say_length(metres, units)


def _air(leak: Leak) -> str:
    return (
        gettext("%(ml_per_minute)s ml a minute") % {"ml_per_minute": f"{leak.ml_per_minute:.0f}"}
        if leak.ml_per_minute > 0
        else gettext("nothing")
    )


def _history(job: Job, tube: hold_tests.Standing | None) -> list[HoldTest]:
    """Tests that are over, newest first, but for the one that the page shows large."""
    over = job.hold_tests.exclude(verdict=HoldTest.Verdict.OPEN).select_related("decided_by")
    shown = tube.test.pk if tube and tube.test and tube.holds and job.stage == Stage.HOLD_TEST else None
    found = [test for test in over.order_by("-id") if test.pk != shown]
    for test in found:
        test.label = hold_tubes.label(job.inflatable.pattern, test.tube_key)
    return found


def _second_look(request: HttpRequest, job: Job, sent: dict[str, Any]) -> dict[str, Any]:
    if not rules.current().second_person:
        return {"second_person": False}
    latest: Check | None = checks.latest(job)
    return {
        "second_person": True,
        "looked": latest,
        "may_not_look": checks.refusal(job, request.user),
        "check_form": sent.get("check_form") or CheckForm(),
    }
