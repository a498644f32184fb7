"""What the stages of a job ask of its quotes."""

from django.utils.translation import gettext

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import repin, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing.models import Quote
from shoprepair.pricing.quotes import finding


def quote_is_out(job: Job) -> str:
    """Nobody can answer a quote that was not sent. One that was agreed to before is still in force."""
    current = finding.whole(job)
    sent = current is not None and current.state in (Quote.State.OUT, Quote.State.ACCEPTED)
    return "" if sent else gettext("No quote is out yet. Write it and send it.")


def quote_is_accepted(job: Job) -> str:
    """Work begins on what the customer agreed to."""
    current = finding.whole(job)
    if current is None:
        return gettext("There is no quote that the customer could have accepted.")
    accepted = current.state == Quote.State.ACCEPTED
    return (
        ""
        if accepted
        else gettext("The customer has not accepted quote %(number)s yet.") % {"number": current.number}
    )


def no_quote_is_out(job: Job) -> str:
    """What the customer can still answer is not passed over."""
    out = finding.out(job)
    return (
        gettext("Quote %(number)s still awaits its answer. Write that down, or take it back.")
        % {"number": out.number}
        if out
        else ""
    )


def no_addition_is_out(job: Job) -> str:
    """What was found in work is answered before the job is called ready."""
    out = finding.waiting_addition(job)
    if out is None:
        return ""
    return gettext(
        "The addition, quote %(number)s, still awaits its answer. Write that down, or take it back."
    ) % {"number": out.number}


def no_quote_hangs_on_it(inflatable: Inflatable) -> str:
    """What was sent out was reckoned for the model that the gear was then."""
    sent = Quote.objects.filter(job__inflatable=inflatable).exclude(state=Quote.State.DRAFT)
    quote = sent.select_related("job").order_by("pk").first()
    return gettext("%(quote)s was sent for the model it is now.") % {"quote": quote} if quote else ""


def keep_ways() -> None:
    """Put the guards on the ways between stages, and on the model of what was quoted."""
    repin.add_guard(no_quote_hangs_on_it)
    stages.add_guard(Stage.ASSESSED, Stage.QUOTE_OUT, quote_is_out)
    stages.add_guard(Stage.QUOTE_OUT, Stage.GO_AHEAD, quote_is_accepted)
    stages.add_guard(Stage.QUOTE_OUT, Stage.DECLINED, no_quote_is_out)
    stages.add_guard(Stage.HOLD_TEST, Stage.READY, no_addition_is_out)
    for start in (Stage.QUOTE_OUT, Stage.GO_AHEAD, Stage.BENCH):
        stages.add_guard(start, Stage.ASSESSED, no_quote_is_out)
