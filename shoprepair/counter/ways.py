"""The ways out of a stage as a person meets them: what can be done, and what is missing where it cannot."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from django.urls import reverse
from django.utils.translation import gettext

from shoprepair.jobs import stages
from shoprepair.jobs.expected import is_away
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.pricing import guards
from shoprepair.shop.access import is_owner
from shoprepair.shop.models import Staff
from shoprepair.work import guards as work_guards

ASIDE = (Stage.DECLINED, Stage.WITHDRAWN)


class Gap(NamedTuple):
    """One thing that is missing, and the link to where it is mended."""

    words: str
    label: str = ""
    url: str = ""


class Way(NamedTuple):
    """A way out of the stage."""

    to: str
    label: str
    asks: bool
    """Whether it asks why."""
    back: bool
    missing: tuple[Gap, ...]


class Next(NamedTuple):
    """The one next thing: a step, or a link, or what is missing for the step."""

    label: str
    to: str = ""
    url: str = ""
    primary: bool = True
    missing: tuple[Gap, ...] = ()

    @property
    def mend(self) -> Gap | None:
        """The first gap that can be mended somewhere."""
        return next((gap for gap in self.missing if gap.url), None)


class Stop(NamedTuple):
    """One stage on the course of a job: done, here or ahead."""

    label: str
    state: str


def ways_from(job: Job, who: Staff) -> Iterator[Way]:
    """Every way out of the job's stage, each with what it still lacks."""
    for way in stages.choices_from(job):
        yield Way(way.to, way.label, way.needs_reason, way.back, tuple(_gaps(job, way, who)))


def next_step(job: Job, ways: Sequence[Way]) -> Next | None:
    """What the head of the sheet offers; None for a job that has left."""
    if not job.is_open:
        return None
    action = stages.next_action(job)
    if action.url_name != "job":
        url = reverse(action.url_name, args=[job.number])
        return Next(gettext("Check in") if is_away(job) else action.label, url=url, primary=action.primary)
    way = next((way for way in ways if not way.back), None)
    if way is None:
        return None
    return Next(way.label, to=way.to, primary=action.primary, missing=way.missing)


def course(job: Job) -> list[Stop]:
    """The stages in a row with the job's own among them; none for a job that went aside."""
    if job.stage in ASIDE:
        return []
    way = [stage for stage in Stage if stage not in ASIDE]
    here = way.index(Stage(job.stage))
    states = ["done"] * here + ["here"] + ["ahead"] * (len(way) - here - 1)
    return [Stop(stage.label, state) for stage, state in zip(way, states, strict=True)]


def _gaps(job: Job, way: stages.Transition, who: Staff) -> Iterator[Gap]:
    if way.owner_only and not is_owner(who):
        yield Gap(gettext("Only the owner may do that."))
        return
    for guard in stages.guards_of(way):
        if words := guard(job):
            yield Gap(words, *_mended_at(guard, job))


def _mended_at(guard: stages.Guard, job: Job) -> tuple[str, ...]:
    """Label and address of the page where a guard's sentence is answered."""
    check_in, sheet = reverse("job-check-in", args=[job.number]), job.get_absolute_url()
    quote = reverse("quote", args=[job.number])
    hold = gettext("Lift the hold") if job.hold != Hold.DRYING else gettext("It is dry")
    return {
        stages.damage_pinned: (gettext("Pin a damage"), check_in),
        stages.every_damage_answered: (gettext("Answer the questions"), check_in),
        stages.terms_agreed: (gettext("Agree the terms"), check_in),
        stages.customer_reachable: (
            gettext("Write a number or an address"),
            f"{reverse('job-correct', args=[job.number])}?what=customer",
        ),
        guards.quote_is_out: (gettext("Quote"), quote),
        guards.quote_is_accepted: (gettext("Record the answer"), quote),
        guards.no_quote_is_out: (gettext("Look at the quote"), quote),
        work_guards.every_step_over: (gettext("Go to its steps"), reverse("bench-job", args=[job.number])),
        work_guards.hand_back_recorded: (gettext("Hand it back"), reverse("hand-back", args=[job.number])),
        work_guards.hand_back_taken_back: (
            gettext("Take it back"),
            f"{reverse('hand-back', args=[job.number])}#undo",
        ),
        work_guards.every_tube_holds: (gettext("Hold test"), reverse("hold-test", args=[job.number])),
        work_guards.second_person_looked: (gettext("Look at it"), reverse("hold-test", args=[job.number])),
        stages.dry: (hold, f"{sheet}#hold"),
        stages.nothing_held: (hold, f"{sheet}#hold"),
    }.get(guard, ())
