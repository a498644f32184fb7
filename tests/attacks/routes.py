"""Who may look at which page, and who may send to it: read by people, held by `test_routes.py`.

Each route stands here under its name, or under its pattern where it has none. To look is GET and HEAD, to
send is POST; nothing takes any other method. What a record decides besides (the owner's second look at a
refund, a stage that only the owner undoes) is held where that rule lives.
"""

from dataclasses import dataclass

NOBODY: frozenset[str] = frozenset()
ANYONE = frozenset({"nobody", "counter", "bench", "owner"})
STAFF = ANYONE - {"nobody"}
TILL = frozenset({"counter", "owner"})
OWNER = frozenset({"owner"})


@dataclass(frozen=True, slots=True)
class Rule:
    """Who may look, who may send, and why it is so."""

    look: frozenset[str]
    send: frozenset[str]
    why: str
    by_key: bool = False
    """Whether the address holds a key, without which there is nothing for anybody."""


def rules(
    names: str,
    *,
    look: frozenset[str] = NOBODY,
    send: frozenset[str] = NOBODY,
    why: str,
    by_key: bool = False,
) -> dict[str, Rule]:
    """The same rule for each of these routes."""
    return {name: Rule(look, send, why, by_key) for name in names.split()}


TABLE: dict[str, Rule] = {
    **rules("login", look=ANYONE, send=ANYONE, why="Whoever logs in is nobody yet."),
    **rules("logout", send=STAFF, why="Only who is in can leave; a link elsewhere logs nobody out."),
    **rules(
        "first-run",
        look=ANYONE,
        send=ANYONE,
        why="Nobody owns the shop yet; as soon as somebody does, there is no such page.",
    ),
    **rules(
        "archive-import",
        look=OWNER,
        send=OWNER,
        why="Anybody's only while nobody at all works here, as the first run; then the owner's.",
    ),
    **rules("alive ready", look=ANYONE, why="Whoever watches the server has no log-in; one word is told."),
    # The self-check: the one thing that a stranger may find.
    **rules(
        "self-check self-check-offline self-check-worker enquiry-thanks",
        look=ANYONE,
        why="Somebody on a beach asks, and has no account.",
    ),
    **rules("self-check-tally", send=ANYONE, why="Counts that a question was asked, and not by whom."),
    **rules(
        "enquiry", look=ANYONE, send=ANYONE, why="What was asked becomes an enquiry, before any account."
    ),
    **rules(
        "without-line line-worker",
        look=ANYONE,
        why="What a device shows in place of any page while the line is gone; it tells of nobody.",
    ),
    # The links: the address is the key, whoever holds it.
    **rules(
        "status s/<str:token> status-photo status-quote-pdf status-unknown enquiry-sent parcel-slip",
        look=ANYONE,
        by_key=True,
        why="The customer looks at their own job by its link.",
    ),
    **rules(
        "status-answer status-ask",
        look=ANYONE,
        send=ANYONE,
        by_key=True,
        why="The customer answers the quote or asks something; a look leads back to the page.",
    ),
    **rules(
        "cover-page c/<str:token> cover-page-pdf c/<path:rest>",
        look=ANYONE,
        by_key=True,
        why="Whoever has the gear before them reads what was mended, and of no customer.",
    ),
    **rules(
        "passing o/<str:token> passing-unknown", look=ANYONE, by_key=True, why="A side reads what passes."
    ),
    **rules("passing-answer", look=ANYONE, send=ANYONE, by_key=True, why="A side agrees or refuses."),
    # The counter's pages. The bench finds damage inside and needs the same sheets; it moves no money.
    **rules(
        "rack search check-in taken-down job-checked-in job work-order bag-tag gear cover-pdf cover-one claim"
        " transfer",
        look=STAFF,
        why="Everybody in the shop finds a job, its gear and its papers.",
    ),
    **rules("my-units", look=STAFF, send=STAFF, why="Everybody reads in their own units."),
    **rules("my-look", send=STAFF, why="Whoever holds the device chooses how its screens look."),
    **rules(
        "manifest", look=ANYONE, why="A device installs the shop by its name, which the log-in shows too."
    ),
    **rules("start", look=STAFF, why="The app begins with the bench or with the rack."),
    # Coming in, and how each person does.
    **rules(
        "log-in-code",
        look=ANYONE,
        send=ANYONE,
        why="The step after the password; without that it leads back to the log-in.",
    ),
    **rules("switch-person", look=ANYONE, why="Names are shown on enrolled tablets; elsewhere it leads on."),
    **rules(
        "switch-pin",
        look=ANYONE,
        send=ANYONE,
        why="A PIN is tapped on enrolled tablets; elsewhere it leads to the log-in.",
    ),
    **rules("my-log-in", look=STAFF, why="Everybody sees where they are logged in."),
    **rules("my-second-factor", look=STAFF, send=STAFF, why="Everybody may ask for more than a password."),
    **rules(
        "my-log-in-end my-log-ins-end my-pin my-pin-forget my-second-factor-begin my-second-factor-codes "
        "my-second-factor-remove my-second-factor-later",
        send=STAFF,
        why="One's own log-ins, PIN and codes; what lets somebody in asks for the password besides.",
    ),
    **rules(
        "check-in-customer check-in-gear job-check-in enquiry-model damage job-correct",
        look=STAFF,
        send=STAFF,
        why="Gear comes in whoever stands at the counter; what is written wrong is mended by who sees it.",
    ),
    **rules(
        "check-in-start taken-down-send job-arrival enquiry-is gear-check-in damage-pin damage-move"
        " damage-remove"
        " damage-restore",
        send=STAFF,
        why="Steps of taking gear in.",
    ),
    **rules("photo", look=STAFF, why="A photo may show a face or an address: nobody's but the shop's."),
    **rules(
        "photo-add photo-share photo-remove photo-restore photo-place photo-unplace",
        send=STAFF,
        why="Who works on it takes photos.",
    ),
    **rules(
        "job-stage job-hold expected-parts",
        send=STAFF,
        why="Moves that only the owner makes are refused by the table of stages.",
    ),
    **rules(
        "repairs quote-pdf", look=STAFF, why="Bench and counter read what is to be mended and what it costs."
    ),
    **rules(
        "repair quote quote-line quote-send quote-answer",
        look=STAFF,
        send=STAFF,
        why="Who judges the damage prices it, the bench too, which finds more inside; a quote is no money.",
    ),
    **rules(
        "repair-add repair-choose repair-drop quote-change quote-worth quote-line-add quote-line-remove"
        " quote-revise quote-withdraw",
        send=STAFF,
        why="As the quote itself; what is too weak only the owner lets stand, by the rule of the lay-ups.",
    ),
    **rules(
        "status-link status-link-withdraw reply letter-again letter-cancel cover-link",
        send=STAFF,
        why="Who speaks with the customer is whoever answers the phone.",
    ),
    **rules("hand-back hand-back-pdf invoice-pdf", look=STAFF, why="Whether it may leave concerns all."),
    **rules(
        "hand-back-give hand-back-undo",
        send=STAFF,
        why="Gear that is paid for is handed over by whoever is there; unpaid only by the owner, undone too.",
    ),
    **rules(
        "payment refund invoice-make invoice-credit",
        send=TILL,
        why="Money moves at the counter, not at the bench; back it goes by the owner's hand alone.",
    ),
    **rules("gear-retire", look=OWNER, send=OWNER, why="It ends every cover on the gear."),
    **rules("cover-end", send=OWNER, why="A promise is taken back by who gave it."),
    **rules(
        "claim-hold claim-pumped claim-decide claim-reopen claim-drop claim-take-up",
        send=STAFF,
        why="Anybody gathers what a claim is decided by; the owner alone decides, by the rule of claims.",
    ),
    **rules(
        "transfer-offer transfer-customer", look=STAFF, send=STAFF, why="A transfer begins at the counter."
    ),
    **rules(
        "transfer-agree transfer-end", send=STAFF, why="A side that came in person says so at the counter."
    ),
    # The bench. Counter and bench help each other out, so neither is shut out here.
    **rules(
        "bench bench-time bench-job bench-found bench-step hold-test step-materials stock stock-order"
        " material-stock lot",
        look=STAFF,
        why="What is being done, and of what, everybody in the shop may see.",
    ),
    **rules(
        "bench-take bench-tick bench-tick-decide bench-stop bench-time-mend bench-all-done bench-step-move"
        " bench-photo bench-hold-end hold-begin hold-reading hold-reading-remove hold-reading-restore"
        " hold-decide hold-stop second-check",
        send=STAFF,
        why="Who did it says so, under their own name; what the owner must decide the hold test refuses.",
    ),
    **rules(
        "stock-rule lot-add lot-count lot-close step-material step-material-back",
        send=STAFF,
        why="Who takes or brings material writes it down.",
    ),
    # The office: what the shop earns, whom it employs, what it promises, what leaves it.
    **rules(
        "office quotes-waiting late-jobs money-week bench-week failing lives claims",
        look=OWNER,
        why="Money, lateness, people's hours and what fails are the owner's to weigh.",
    ),
    **rules("set-up set-up-trial", look=OWNER, why="Where a new shop stands; and a tag of nobody."),
    **rules(
        "set-up-shop set-up-prices set-up-pattern set-up-people set-up-tag",
        look=OWNER,
        send=OWNER,
        why="The same settings, prices, patterns and people as on their own pages.",
    ),
    **rules("people", look=OWNER, why="Who works here and who may still log in."),
    **rules("person-add person", look=OWNER, send=OWNER, why="Nobody gives themselves another role."),
    **rules("tablets", look=OWNER, send=OWNER, why="Which tablets a PIN opens."),
    **rules(
        "tablet-revoke person-log-in-end person-log-ins-end person-pin-forget person-factor-remove",
        send=OWNER,
        why="The owner shuts out a lost tablet or phone.",
    ),
    **rules("person-password person-disable person-enable", send=OWNER, why="As the people themselves."),
    **rules(
        "settings load-figures price-rules work-rules",
        look=OWNER,
        send=OWNER,
        why=("What all later answers rest on."),
    ),
    **rules("re-assess", send=OWNER, why="It changes the figures of every open job."),
    **rules("bench-hours holidays", look=OWNER, send=OWNER, why="People's hours."),
    **rules("holiday-remove", send=OWNER, why="People's hours."),
    **rules("patterns pattern cloths catalogue materials", look=OWNER, why="What the shop's figures are."),
    **rules(
        "pattern-edit cloth-add cloth-edit operation-add operation material-add material",
        look=OWNER,
        send=OWNER,
        why="Strength, prices and minutes are set by one person.",
    ),
    **rules(
        "pattern-copy catalogue-bring-in operation-switch operation-minutes",
        send=OWNER,
        why="Strength, prices and minutes are set by one person.",
    ),
    **rules("mail-texts", look=OWNER, why="What the shop says to people outside."),
    **rules("mail-text", look=OWNER, send=OWNER, why="What the shop says to people outside."),
    **rules("mail-text-preview mail-text-reset", send=OWNER, why="What the shop says to people outside."),
    **rules("office-self-check", look=OWNER, send=OWNER, why="Whether strangers are answered at all."),
    **rules("self-check-leaflet", look=OWNER, why="A paper of the page about the self-check."),
    **rules("page-parts", look=OWNER, why="For whoever changes the look; it shows samples alone."),
    **rules("how-it-runs", look=OWNER, why="It tells of the machine and its faults; others hear one word."),
    **rules(
        "archive backups times-kept customer-erase demo-remove demo-back",
        look=OWNER,
        send=OWNER,
        why="All data at once, or one person's.",
    ),
    **rules(
        "leaving export-table archive-download customer-data customer-data-download",
        look=OWNER,
        why="All data at once, or one person's.",
    ),
}
