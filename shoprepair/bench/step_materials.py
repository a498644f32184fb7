"""What a step's page shows of materials: what it takes, from which lot, and what was taken already."""

from typing import Any, NamedTuple
from uuid import uuid4

from django.db.models import Q, QuerySet

from shoprepair.bench.forms.stock import TakeForm
from shoprepair.shop.models import Staff
from shoprepair.work import stock
from shoprepair.work.models import Step, Use

ANY = "any"
"""Names the form that takes of any material."""


class Row(NamedTuple):
    """A material that the step's repair takes."""

    proposal: stock.Proposal
    name: str
    form: TakeForm
    key: str


def step_materials(
    step: Step, who: Staff, sent: Any = None, *, refused: str = "", told: str = ""
) -> dict[str, Any]:
    """What bench/stock/step_materials.html names as `materials`.

    sent: a posted form that could not be carried out, kept as typed. refused, told: what to say of it.
    """
    form_of = sent.get("form", "") if sent else ""
    shelf = stock.on_shelf()
    rows = [_row(proposal, who, sent, form_of) for proposal in stock.proposals(step)]
    any_form = TakeForm(shelf, who, sent if form_of == ANY else None, named=True, prefix=ANY)
    return {
        "step": step,
        "rows": rows,
        "taken": list(taken_at(step)),
        "any_form": any_form if shelf else None,
        "any_key": uuid4().hex,
        "form_of": form_of,
        "refused": refused,
        "told": told,
    }


def taken_at(step: Step) -> QuerySet[Use]:
    """What stands as taken at this step, or for its repair at another one."""
    here = Q(step=step) | (Q(job=step.job_id, repair=step.repair_id) if step.repair_id else Q())
    return (
        Use.objects.filter(here, puts_back=None, put_back_by=None)
        .select_related("lot__material", "who")
        .order_by("id")
    )


def _row(proposal: stock.Proposal, who: Staff, sent: Any, form_of: str) -> Row:
    name = f"m{proposal.material.pk}"
    form = TakeForm(
        proposal.lots,
        who,
        sent if form_of == name else None,
        named=False,
        prefix=name,
        initial={
            "lot": str(proposal.lot.pk) if proposal.lot else "",
            "quantity": stock.say_quantity(proposal.offered, proposal.material.unit)
            if proposal.offered
            else "",
        },
    )
    return Row(proposal, name, form, uuid4().hex)
