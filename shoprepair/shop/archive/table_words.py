"""What each table of a shop holds, as people say it, and what it is about."""

from shoprepair.shop.languages import gettext_lazy

GROUPS = (
    (
        gettext_lazy("Customers and their gear"),
        {
            "jobs.Customer": gettext_lazy("customers"),
            "gear.Inflatable": gettext_lazy("inflatables"),
            "jobs.Ownership": gettext_lazy("ownerships"),
        },
    ),
    (
        gettext_lazy("Enquiries and visits"),
        {
            "jobs.Enquiry": gettext_lazy("enquiries"),
            "jobs.Job": gettext_lazy("jobs"),
            "jobs.Damage": gettext_lazy("damages"),
            "jobs.Photo": gettext_lazy("photos"),
            "jobs.Message": gettext_lazy("messages"),
            "jobs.StatusLink": gettext_lazy("status links"),
            "jobs.SelfCheckTally": gettext_lazy("self-check tallies"),
        },
    ),
    (
        gettext_lazy("Quotes, invoices and payments"),
        {
            "pricing.Repair": gettext_lazy("repairs"),
            "pricing.Quote": gettext_lazy("quotes"),
            "pricing.QuoteLine": gettext_lazy("lines of quotes"),
            "work.Invoice": gettext_lazy("invoices"),
            "work.Invoice_quotes": gettext_lazy("quotes of invoices"),
            "work.Payment": gettext_lazy("payments"),
        },
    ),
    (
        gettext_lazy("Work and hand-back"),
        {
            "work.Step": gettext_lazy("steps"),
            "work.StepPhoto": gettext_lazy("photos of steps"),
            "work.Tick": gettext_lazy("ticks"),
            "work.Check": gettext_lazy("second looks"),
            "work.Stint": gettext_lazy("stints at the bench"),
            "pricing.MeasuredMinutes": gettext_lazy("measured minutes"),
            "work.HoldTest": gettext_lazy("hold tests"),
            "work.HoldReading": gettext_lazy("readings of hold tests"),
            "work.HandBack": gettext_lazy("hand-backs"),
            "work.Forecast": gettext_lazy("forecasts"),
        },
    ),
    (
        gettext_lazy("Covers and claims"),
        {
            "cover.Cover": gettext_lazy("covers"),
            "cover.CoverLink": gettext_lazy("links to covers"),
            "cover.Ending": gettext_lazy("endings of covers"),
            "cover.Claim": gettext_lazy("claims"),
            "cover.Transfer": gettext_lazy("transfers"),
        },
    ),
    (
        gettext_lazy("Materials and lots"),
        {
            "pricing.Material": gettext_lazy("materials"),
            "work.Lot": gettext_lazy("lots"),
            "work.Need": gettext_lazy("reserved material"),
            "work.Use": gettext_lazy("material used"),
            "work.StockCount": gettext_lazy("stock counts"),
            "work.StockRule": gettext_lazy("stock rules"),
            "work.ExpectedParts": gettext_lazy("expected parts"),
        },
    ),
    (
        gettext_lazy("Patterns and cloths"),
        {
            "gear.Pattern": gettext_lazy("patterns"),
            "gear.Tube": gettext_lazy("tubes"),
            "gear.Panel": gettext_lazy("panels"),
            "gear.Valve": gettext_lazy("valves"),
            "gear.Cloth": gettext_lazy("cloths"),
            "shop.LoadFigures": gettext_lazy("load figures"),
        },
    ),
    (
        gettext_lazy("How the shop is set up"),
        {
            "shop.Shop": gettext_lazy("shop settings"),
            "shop.Staff": gettext_lazy("staff"),
            "work.BenchHours": gettext_lazy("bench hours"),
            "work.Holiday": gettext_lazy("holidays"),
            "work.WorkRules": gettext_lazy("work rules"),
            "pricing.PriceRules": gettext_lazy("price rules"),
            "pricing.Operation": gettext_lazy("operations"),
            "pricing.OperationMaterial": gettext_lazy("materials of operations"),
            "shop.MailText": gettext_lazy("texts of letters"),
        },
    ),
    (
        gettext_lazy("Letters and journal"),
        {
            "shop.Letter": gettext_lazy("letters"),
            "shop.JournalEntry": gettext_lazy("journal entries"),
        },
    ),
    (
        gettext_lazy("What the program notes for itself"),
        {
            "shop.Attempt": gettext_lazy("attempts"),
            "shop.Counter": gettext_lazy("number series"),
            "shop.DailyRun": gettext_lazy("daily duties"),
            "shop.Submission": gettext_lazy("submissions"),
            "jobs.SearchWord": gettext_lazy("search words"),
            "work.NextFree": gettext_lazy("next free days"),
        },
    ),
)
"""Every table once, under what somebody would look for it by."""
WORDS = {label: words for _about, tables in GROUPS for label, words in tables.items()}
