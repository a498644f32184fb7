"""What is pictured: sizes, shops, and the states that need a hand before they can be seen."""

from dataclasses import dataclass

from tests.pictures import acts
from tests.pictures.acts import Act

SIZES = {"phone": (390, 844), "tablet": (1180, 820), "desk": (1440, 900)}
PRINT = (794, 1123)
"""A sheet of A4 as a browser lays it out, at 96 dots to the inch."""
KINDS = (*SIZES, "print", "paper")
"""What may be asked for as SIZES: screens, what a browser prints, and the papers."""

SHOPS = {
    "many": "The demo shop with its five years, and two jobs of forty damages, one of them gone home.",
    "long": "The same, everybody and everything with a very long name.",
    "rtl": "The same, all names in Hebrew and Arabic letters.",
    "removed": "The demo's data was taken away, and can still be brought back.",
    "nobody": "Nobody works here yet.",
    "empty": "The owner came in for the first time; nothing was ever checked in.",
    "one": "One customer, one piece of gear, one damage.",
}
THEMED = "many"
"""The shop that is also seen in the dark, in print, and whose papers are made of every kind."""
BY_HAND = frozenset({"removed"})
"""Shops of which only the states below are pictured, and no paper."""
STAGES = (
    *("enquiry", "checked-in", "assessed", "quote-out", "go-ahead", "bench", "hold-test", "ready"),
    *("handed-back", "declined"),
)
"""Of a job, each pictured on its sheet and on the customer's page."""

THEMES = ("light", "dark")

NOT_PICTURED = {
    **dict.fromkeys(("alive", "ready"), "One word for a machine."),
    **dict.fromkeys(("photo", "status-photo"), "A photo alone; it is seen on the pages that show it."),
    **dict.fromkeys(("self-check-worker", "line-worker"), "A program of the browser's."),
    **dict.fromkeys(
        ("export-table", "archive-download", "customer-data-download"), "A file that is saved, never shown."
    ),
    **dict.fromkeys(
        ("s/<str:token>", "c/<str:token>", "o/<str:token>"), "Leads to the address with its last stroke."
    ),
    **dict.fromkeys(
        ("status-answer", "status-ask", "passing-answer"), "A look leads back to the page it was asked on."
    ),
}
"""Routes that somebody may look at and that are no picture, each with the reason."""


@dataclass(frozen=True, slots=True)
class Special:
    """One screen in a state that no shop is in by itself."""

    screen: str
    state: str
    act: Act
    """What is done on the page before its picture is taken."""
    at: str = ""
    """The key of another address of the shop, or an address itself; else the screen's own."""
    shop: str = "many"
    who: str = "owner"


def _wrong(screen: str, *, shop: str = "many", who: str = "owner", at: str = "", **fields: str) -> Special:
    """The screen after its form, of which these are fields, was sent with them so."""
    return Special(screen, "wrong", acts.sent(**fields), at=at, shop=shop, who=who)


ASKED = "kind=kite&size=medium&at=front-tip&look=cut&length=coin&far=far"
"""What somebody answered to the self-check, as its addresses have it."""

SPECIAL = [
    # Forms sent wrong.
    _wrong("login", who="nobody", username="nobody", password="not it"),
    _wrong("first-run", shop="nobody", who="nobody", shop_name="", name="", username="", password="short"),
    _wrong("check-in-customer", name="", phone="1", email="not an address"),
    _wrong("check-in-gear", serial="x" * 200, bought_year="1066"),
    _wrong("job-check-in", at="damage", length="three parsecs"),
    _wrong("job-correct", promised_on="", received_at=""),
    _wrong("quote", at="quote:draft", discount_percent="-5", valid_until="yesterday"),
    _wrong("quote-line", amount="much", text=""),
    _wrong("repair", rows="-3", pitch="three parsecs"),
    _wrong("hand-back", amount="-5"),
    _wrong("hold-test", pressure="7 parsecs"),
    _wrong("lot", **{"count-found": "a few"}),
    _wrong("transfer-customer", name="", phone="1"),
    _wrong("gear-retire", note=""),
    _wrong("my-log-in", pin="1234", password="not it"),
    _wrong("settings", email="not an address", usual_days="-3", currency="XYZ"),
    _wrong("load-figures", held_gust="no figure"),
    _wrong("person-add", name="", username="", password="short"),
    _wrong("pattern-edit", name="", span_m="three parsecs"),
    _wrong("cloth-add", name="", strength_warp_n_per_m="strong"),
    _wrong("operation-add", name="", set_up_minutes="-1"),
    _wrong("material-add", name="", price="much"),
    _wrong("price-rules", hourly_rate="-1"),
    _wrong("work-rules", slack_percent="-1"),
    _wrong("bench-hours", **{"monday-1": "many"}),
    _wrong("holidays", first_day="someday", last_day=""),
    _wrong("mail-text", subject="", body="{nothing known}"),
    _wrong("times-kept", photo_years="-1"),
    _wrong("customer-erase", name="somebody else"),
    _wrong("enquiry", who="nobody", at=f"/self-check/enquiry/?{ASKED}", name="", contact=""),
    _wrong("status", who="nobody", text=""),
    # Requests under way.
    Special("rack", "busy", acts.under_way(acts.tapped(".choices a, [data-hx-get]"))),
    Special("check-in", "busy", acts.under_way(acts.typed("#find", "sk"))),
    Special("job-check-in", "busy", acts.under_way(acts.tapped("[data-hx-get]"))),
    Special("job", "busy", acts.under_way(acts.tapped("button[data-hx-post], [data-hx-post] button"))),
    Special("quote", "busy", at="quote:draft", act=acts.under_way(acts.tapped("[data-hx-get]"))),
    Special("stock", "busy", acts.under_way(acts.typed("#stock-text", "ta"))),
    Special("bench-step", "busy", acts.under_way(acts.tapped(".bench-step [data-tick] button"))),
    # No line.
    Special("rack", "no-line", acts.without_line(acts.tapped(".choices a, [data-hx-get]"))),
    Special("check-in", "no-line", acts.without_line(acts.typed("#find", "sk"))),
    Special("job-check-in", "no-line", acts.without_line(acts.tapped("[data-hx-get]"))),
    Special("quote", "no-line", at="quote:draft", act=acts.without_line(acts.tapped("[data-hx-get]"))),
    Special("bench-job", "no-line", acts.without_line(acts.tapped("main form button"))),
    Special("bench-step", "no-line", acts.without_line(acts.tapped("main form button.is-primary"))),
    # Forty damages on one job.
    *(
        Special(screen, "forty", acts.nothing, at=f"{screen}:forty")
        for screen in ("job", "job-check-in", "repairs", "quote")
    ),
    # Found while typing, and not found.
    Special("search", "found", acts.nothing, at="/search/?q=sk"),
    Special("search", "nothing-found", acts.nothing, at="/search/?q=zzzz"),
    Special("check-in", "found", acts.typed("#find", "sk")),
    Special("rack", "nothing-found", acts.nothing, at="/?text=zzzz"),
    # The self-check on its way.
    Special("enquiry", "asked", acts.nothing, at=f"/self-check/enquiry/?{ASKED}", who="nobody"),
    Special("self-check", "size", acts.nothing, at="/self-check/?kind=wing", who="nobody"),
    Special("self-check", "where", acts.nothing, at="/self-check/?kind=wing&size=medium", who="nobody"),
    Special(
        "self-check", "look", acts.nothing, who="nobody", at="/self-check/?kind=kite&size=medium&at=front-tip"
    ),
    Special(
        "self-check",
        "answer",
        acts.nothing,
        who="nobody",
        at=f"/self-check/?{ASKED}",
    ),
    Special(
        "self-check",
        "grounded",
        acts.nothing,
        who="nobody",
        at="/self-check/?kind=wing&size=medium&at=front-middle&look=burst&far=far",
    ),
    # Jobs elsewhere on their way.
    *(Special("job", stage, acts.nothing, at=f"job:{stage}") for stage in STAGES),
    *(Special("status", stage, acts.nothing, at=f"status:{stage}", who="nobody") for stage in STAGES),
    *(Special("quote", state, acts.nothing, at=f"quote:{state}") for state in ("draft", "out", "answered")),
    # Doors.
    Special("login", "as-it-is", acts.nothing, who="nobody"),
    Special("job-checked-in", "as-it-is", acts.nothing),
    Special("log-in-code", "asked", acts.password_given, at="login", who="nobody"),
    Special("switch-person", "enrolled", acts.enrolled),
    Special("switch-pin", "enrolled", acts.enrolled_and_asked),
    Special("gear", "claimed", acts.nothing, at="gear:claimed"),
    Special("rack", "menu-open", acts.tapped(".bar-person summary")),
    Special("not-found", "page", acts.nothing, at="/no/such/page/"),
    Special("not-yours", "page", acts.nothing, at="office", who="bench"),
    Special("rack", "bench", acts.nothing, who="bench"),
    Special("bench", "bench", acts.nothing, who="bench"),
    # What waits on a device, and what can be brought back.
    Special("taken-down", "kept", acts.taken_down("Ida Quist", "Ottokar Fjeldmark"), at="without-line"),
    Special("demo-back", "as-it-is", acts.nothing, shop="removed"),
]
"""One line a state: the screen, the state's name, what is done, and where."""
