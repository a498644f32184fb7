"""A draft on its page: what it shows, a line of it, and what is sent about it."""

from django.urls import reverse

from shoprepair.pricing.models import Quote, QuoteLine


def send(client, name: str, draft: Quote, *args, version: int | None = None, headers=None, **fields):
    fields["version"] = draft.version if version is None else version
    return client.post(reverse(name, args=[draft.job.number, *args]), fields, **(headers or {}))


def line(draft: Quote, text: str) -> QuoteLine:
    return draft.lines.get(text=text)


def typed(found: QuoteLine, **fields) -> dict[str, str]:
    """A line's form as the page shows it, with what was typed over it."""
    names = ("text", "detail", "amount", "minutes", "choice")
    shown = {name: getattr(found, name) for name in names}
    shown |= {name: "on" for name in ("optional", "taken") if getattr(found, name)}
    return {f"line-{found.pk}-{name}": value for name, value in (shown | fields).items() if value is not None}
