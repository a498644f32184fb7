"""Where a job stands, in a customer's words: what is done, what is now, what comes next."""

from datetime import date
from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.portal import days
from shoprepair.shop.languages import gettext_lazy

ASIDE = (Stage.DECLINED, Stage.WITHDRAWN)
COURSE = tuple(stage for stage in Stage if stage not in ASIDE)
DONE = (Stage.READY, Stage.HANDED_BACK)

_NOW = {
    Stage.ENQUIRY: gettext_lazy("The shop knows of it and waits for it to come in."),
    Stage.CHECKED_IN: gettext_lazy("It is in the shop."),
    Stage.ASSESSED: gettext_lazy("It was looked over from end to end."),
    Stage.QUOTE_OUT: gettext_lazy("What the repair costs stands below."),
    Stage.GO_AHEAD: gettext_lazy("You said yes. It waits for its turn on the bench."),
    Stage.BENCH: gettext_lazy("It is being repaired."),
    Stage.HOLD_TEST: gettext_lazy("It is repaired. Pumped up, it now has to hold its pressure."),
    Stage.READY: gettext_lazy("It is repaired and ready to be collected."),
    Stage.HANDED_BACK: gettext_lazy("It is repaired and back with you."),
    Stage.DECLINED: gettext_lazy("You declined the quote. Nothing was repaired."),
    Stage.WITHDRAWN: gettext_lazy("This visit ended without a repair."),
}
_NEXT = {
    Stage.ENQUIRY: gettext_lazy("Bring it in, or send it."),
    Stage.CHECKED_IN: gettext_lazy("It is looked over, then the quote comes to this page."),
    Stage.ASSESSED: gettext_lazy("The quote comes to this page."),
    Stage.QUOTE_OUT: gettext_lazy("Your answer. Nothing is cut or sewn before you give it."),
    Stage.GO_AHEAD: gettext_lazy("It goes on the bench."),
    Stage.BENCH: gettext_lazy("When it is repaired it is pumped up and has to hold its pressure."),
    Stage.HOLD_TEST: gettext_lazy("When it holds, it is ready for you."),
    Stage.READY: gettext_lazy("Once you have collected it."),
    Stage.DECLINED: gettext_lazy("Collect it, or call the shop about another quote."),
    Stage.WITHDRAWN: gettext_lazy("Call the shop if that surprises you."),
}
_HOLD = {
    Hold.DRYING: gettext_lazy("It is drying. Nothing sticks to wet cloth, so this comes first."),
    Hold.PARTS: gettext_lazy("It waits for parts."),
    Hold.CUSTOMER: gettext_lazy("It waits for word from you. Ask below, or call the shop."),
}


ASKED = gettext_lazy("We have your enquiry. Nothing is agreed yet.")
OURS = gettext_lazy("It is ours to mend, and costs you nothing. It waits for its turn on the bench.")
MORE_FOUND = gettext_lazy(
    "More was found inside. What you agreed goes on; the rest waits for your answer below."
)


class Stop(NamedTuple):
    """One stage on the way: done, here, next or ahead."""

    label: str
    state: str


class Standing(NamedTuple):
    """Where a job stands, as its page says it."""

    label: str
    now: str
    next: str
    waits: str
    promise: str
    course: tuple[Stop, ...]
    """Empty for a job that went aside."""


def standing(
    job: Job, today: date, *, more_found: bool = False, ours: bool = False, asked: bool = False
) -> Standing:
    """The job's place on its way, and the date it was promised for while that still means something.

    more_found: an addition to what was agreed awaits its answer. ours: the shop agreed to mend it at nought.
    asked: it is an enquiry from outside, for which no date counts before the gear is here.
    """
    stage = Stage(job.stage)
    promised = stage not in (*ASIDE, *DONE) and not asked
    return Standing(
        label=stage.label,
        now=_now(stage, ours=ours, asked=asked),
        next=_NEXT.get(stage, ""),
        waits=_waits(job, more_found=more_found) if job.is_open else "",
        promise=_promise(job.promised_on, today) if promised else "",
        course=tuple(_course(stage)),
    )


def _now(stage: Stage, *, ours: bool, asked: bool) -> str:
    if asked:
        return ASKED
    return OURS if ours and stage == Stage.GO_AHEAD else _NOW[stage]


def _waits(job: Job, *, more_found: bool) -> str:
    said = (_HOLD.get(Hold(job.hold), ""), MORE_FOUND if more_found else "")
    return " ".join(str(words) for words in said if words)


def _course(stage: Stage) -> list[Stop]:
    if stage in ASIDE:
        return []
    here = COURSE.index(stage)
    states = ["done"] * here + ["here", "next"] + ["ahead"] * len(COURSE)
    return [Stop(one.label, state) for one, state in zip(COURSE, states, strict=False)]


def _promise(on: date, today: date) -> str:
    day = days.day(on, today)
    if on < today:
        return gettext("Promised for %(day)s. It is late; the shop owes you a word.") % {"day": day}
    return gettext("Promised for today.") if on == today else gettext("Promised for %(day)s.") % {"day": day}
