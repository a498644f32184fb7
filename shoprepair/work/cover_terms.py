"""What the shop promises for the work of an agreement, as its catalogue words it today."""

from typing import Any

from shoprepair.pricing.models import Operation, Quote


def of(quote: Quote) -> dict[int, dict[str, Any]]:
    """Line id to its cover: `terms`, `months` from the hand-back (None: for the life of the gear), and
    whether it `passes_on` to a new owner.

    Cleaning and looking mend nothing, so there is nothing to cover.
    """
    lines = list(quote.lines.select_related("repair__operation"))
    by_code = Operation.objects.in_bulk(
        {line.operation_code for line in lines if line.repair is None and line.operation_code},
        field_name="code",
    )
    found = {}
    for line in lines:
        operation = line.repair.operation if line.repair else by_code.get(line.operation_code)
        if operation is not None and operation.cover_terms and operation.area != Operation.Area.CARE:
            found[line.pk] = {
                "terms": operation.cover_terms,
                "months": operation.cover_months,
                "passes_on": operation.cover_passes_on,
            }
    return found
