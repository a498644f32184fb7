"""What the owner's evening shows: big numbers, each with the address of the list behind it."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, NamedTuple
from urllib.parse import urlencode

from django.db.models import Exists, Func, IntegerField, QuerySet, Subquery
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext

from shoprepair.cover import claims
from shoprepair.cover.models import Claim
from shoprepair.gear.library import IN_LIBRARY
from shoprepair.gear.models import Cloth, Pattern
from shoprepair.jobs import queries
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.mechanics.description import Band
from shoprepair.pricing.models import Material, Operation
from shoprepair.pricing.money import say
from shoprepair.pricing.sums import add_up, in_order, say_sums
from shoprepair.pricing.waiting import Waiting, quotes_out
from shoprepair.shop import charts
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Shop, Staff
from shoprepair.shop.weeks import IsoWeek, up_to
from shoprepair.work import money, overdue, stock, used_hours
from shoprepair.work.models import BenchHours, Holiday
from shoprepair.work.money import Kind, WeekOfMoney
from shoprepair.work.saying import days
from shoprepair.work.used_hours import Used

KINDS = {
    Kind.QUOTED: gettext_lazy("Quoted"),
    Kind.AGREED: gettext_lazy("Agreed"),
    Kind.DONE: gettext_lazy("Done"),
    Kind.PAID: gettext_lazy("Paid"),
}
"""What each kind of money is called."""
WEEKS = 8
NAMED = 2
"""So many of each are named on the page itself; the rest is in the list behind the number."""
WIDTH = 100
"""Of the strip that draws a person's week, in its own units."""


class Number(NamedTuple):
    """A big number, what it counts, and the list behind it."""

    said: str
    label: str
    url: str
    notes: Sequence[str] = ()
    tone: str = ""
    """'danger' or 'warning' where it wants a decision, 'nothing' where there is none of it."""


class First(NamedTuple):
    """One thing that wants a decision tonight."""

    what: str
    job: Job
    why: str
    url: str
    tone: str = "warning"


class Strip(NamedTuple):
    """A person's week drawn: how far what they used reaches, and what is at the bench."""

    used: float
    bench: float


class Money(NamedTuple):
    """This week's money, and the weeks before it beside one another."""

    numbers: list[Number]
    charts: list[charts.Chart]
    weeks: list["Row"]


class Row(NamedTuple):
    """One week of the table: each kind as it is read."""

    week: IsoWeek
    cells: list[tuple[Kind, str]]


@dataclass(frozen=True, slots=True)
class Decisions:
    numbers: list[Number] = field(default_factory=list)
    first: list[First] = field(default_factory=list)


def decisions(now: datetime, own: str) -> Decisions:
    """What waits for the owner, the most pressing first."""
    today = timezone.localtime(now).date()
    held = list(claims.waiting().select_related("damage", "job__customer", "job__inflatable__pattern"))
    counts, out = overdue.counts(today), quotes_out(today)
    late = list(overdue.late(today)[:NAMED]) if counts.late else []
    return Decisions(
        numbers=[
            _claims(held, today),
            Number(str(counts.late), gettext("late"), f"{reverse('late-jobs')}#late", tone="danger"),
            Number(
                str(counts.soon), gettext("about to be late"), f"{reverse('late-jobs')}#soon", tone="warning"
            ),
            _quotes(out, own),
            _order(),
        ],
        first=[
            *(_claim(claim, today) for claim in held[:NAMED]),
            *(
                First(gettext("Late"), job, overdue.words(job, today), job.get_absolute_url(), "danger")
                for job in late
            ),
            *(_runs_out(each) for each in [each for each in out if each.expired or each.soon][:NAMED]),
        ],
    )


def _claims(held: Sequence[Claim], today: date) -> Number:
    notes = (
        [gettext("the oldest waits %(made_at)s") % {"made_at": _since(held[0].made_at, today)}]
        if held
        else []
    )
    label = gettext("claim to decide") if len(held) == 1 else gettext("claims to decide")
    return Number(str(len(held)), label, reverse("claims"), notes, "danger")


def _claim(claim: Claim, today: date) -> First:
    url = reverse("claim", args=[claim.job.number, claim.damage.number])
    return First(
        gettext("Claim"),
        claim.job,
        gettext("waits %(made_at)s") % {"made_at": _since(claim.made_at, today)},
        url,
    )


def _quotes(out: Sequence[Waiting], own: str) -> Number:
    label = gettext("quote waits") if len(out) == 1 else gettext("quotes wait")
    if not out:
        return Number("0", label, reverse("quotes-waiting"))
    notes = [
        say_sums(add_up(each.money for each in out), own),
        gettext("the longest waits %(days)s") % {"days": days(out[0].days)}
        if out[0].days
        else gettext("sent today"),
    ]
    counted = [
        (sum(each.expired for each in out), gettext("%(number)s ran out")),
        (sum(each.soon for each in out), gettext("%(number)s about to run out")),
        (sum(each.addition for each in out), gettext("%(number)s to add to agreed work")),
    ]
    notes += [said % {"number": count} for count, said in counted if count]
    return Number(str(len(out)), label, reverse("quotes-waiting"), notes)


def _runs_out(each: Waiting) -> First:
    job = each.quote.job
    total = say(each.total, each.quote.currency)
    left = gettext("ran out") if each.expired else until_over(each.left)
    why = f"{total}, {left}"
    return First(gettext("Quote"), job, why, reverse("quote", args=[job.number]))


def _order() -> Number:
    levels = [level for _, group in stock.to_order() for level in group]
    short = sum(level.short for level in levels)
    notes = [gettext("%(short)s short for agreed work") % {"short": short}] if short else []
    return Number(str(len(levels)), gettext("to order"), reverse("stock-order"), notes)


def _since(at: datetime, today: date) -> str:
    """'since today', '3 days'."""
    return _counted((today - timezone.localtime(at).date()).days)


def until_over(left: int) -> str:
    """How long a quote can still be accepted: 'its last day', '2 days left'."""
    if not left:
        return gettext("today is its last day")
    return ngettext("%(left)s day left", "%(left)s days left", left) % {"left": left}


def _counted(count: int) -> str:
    return days(count) if count > 0 else gettext("since today")


def in_the_shop() -> list[Number]:
    """What hangs on the rack."""
    found = queries.counts()
    customer = Hold.CUSTOMER.value
    return [
        Number(str(found.total), gettext("open"), reverse("rack")),
        Number(str(found.bands[Band.GROUNDED]), gettext("grounded"), _rack(band=Band.GROUNDED)),
        Number(str(found.holds[customer]), gettext("waiting for the customer"), _rack(hold=customer)),
        Number(str(found.stages[Stage.READY]), gettext("ready to fetch"), _rack(stage=Stage.READY.value)),
    ]


def _rack(**chosen: str) -> str:
    return f"{reverse('rack')}?{urlencode(chosen)}"


def money_of(week: IsoWeek, own: str) -> Money:
    """The week's money, and the eight weeks up to it."""
    weeks = money.by_week(up_to(week, WEEKS))
    used = [currency for currency, _ in in_order(dict.fromkeys(money.currencies(weeks), 1), own)]
    several = sum(bool(each.sums) for each in weeks) > 1
    return Money(
        numbers=[_amount(kind, weeks[-1], own) for kind in Kind],
        charts=[_chart(weeks, currency) for currency in used] if several else [],
        weeks=[_row(each, own) for each in reversed(weeks)] if several else [],
    )


def _amount(kind: Kind, week: WeekOfMoney, own: str) -> Number:
    (currency, amount), *others = in_order(week.of(kind), own)
    notes = [gettext("and %(more)s") % {"more": say(more, other)} for other, more in others]
    url = f"{reverse('money-week', args=[week.week])}#{kind}"
    return Number(say(amount, currency), str(KINDS[kind]).lower(), url, notes, "" if amount else "nothing")


def _chart(weeks: Sequence[WeekOfMoney], currency: str) -> charts.Chart:
    rows = [
        charts.Bar(
            date_format(each.week.first_day, "j M"),
            [float(each.amount(kind, currency)) for kind in Kind],
        )
        for each in weeks
    ]
    names = [str(KINDS[kind]) for kind in Kind]
    return charts.bars(
        rows,
        names,
        title=gettext("Money of the last %(WEEKS)s weeks in %(currency)s")
        % {"WEEKS": WEEKS, "currency": currency},
        unique=f"money-{currency.lower()}",
        of=gettext("Week from"),
    )


def _row(each: WeekOfMoney, own: str) -> Row:
    return Row(each.week, [(kind, say_sums(each.of(kind), own)) for kind in Kind])


def bench_of(week: IsoWeek, now: datetime) -> dict[str, Any]:
    """Bench hours of the week: all together, and each person's."""
    everybody = used_hours.of_week(week, now)
    return {
        "together": used_hours.together(everybody),
        "people": [(used, strip(used)) for used in everybody],
    }


def strip(used: Used) -> Strip:
    """What a person used against what is at the bench; both in shares of the longer one."""
    whole = max(used.bench, used.used) or 1
    return Strip(round(WIDTH * used.used / whole, 1), round(WIDTH * used.bench / whole, 1))


def standing(today: date) -> dict[str, int]:
    """How much there is of everything that the shop is set up with; in one statement."""
    counted = {
        "people": Staff.objects.filter(is_active=True),
        "holidays": Holiday.objects.filter(last_day__gte=today),
        "hours": BenchHours.objects.all(),
        "patterns": Pattern.objects.filter(**IN_LIBRARY),
        "cloths": Cloth.objects.all(),
        "operations": Operation.objects.filter(active=True),
        "materials": Material.objects.filter(active=True),
    }
    shop = Shop.objects.annotate(
        **{f"{name}_count": _count(rows) for name, rows in counted.items()}, any_job=Exists(Job.objects.all())
    )
    columns = [*(f"{name}_count" for name in counted), "any_job"]
    found = shop.values(*columns).get(pk=1)
    return {name.removesuffix("_count"): found[name] for name in columns}


def _count(rows: QuerySet[Any]) -> Subquery:
    counted = Func("pk", function="COUNT", output_field=IntegerField())
    return Subquery(rows.order_by().annotate(_how_many=counted).values("_how_many"))
