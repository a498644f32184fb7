"""From the damages to what it costs: repairs, quote, and the customer's way to both."""

from django.urls import path

from shoprepair.counter.views import quote, quote_lines, quote_out, repairs, status_link

urlpatterns = [
    path("jobs/<int:number>/repairs/", repairs.repairs, name="repairs"),
    path("jobs/<int:number>/repairs/add/", repairs.add, name="repair-add"),
    path("jobs/<int:number>/repairs/<int:pk>/", repairs.repair, name="repair"),
    path("jobs/<int:number>/repairs/<int:pk>/choose/", repairs.choose, name="repair-choose"),
    path("jobs/<int:number>/repairs/<int:pk>/drop/", repairs.drop, name="repair-drop"),
    path("jobs/<int:number>/quote/", quote.quote, name="quote"),
    path("jobs/<int:number>/quote/change/", quote.change, name="quote-change"),
    path("jobs/<int:number>/quote/worth/", quote.worth, name="quote-worth"),
    path("jobs/<int:number>/quote/lines/add/", quote_lines.add, name="quote-line-add"),
    path("jobs/<int:number>/quote/lines/<int:pk>/", quote_lines.line, name="quote-line"),
    path("jobs/<int:number>/quote/lines/<int:pk>/remove/", quote_lines.remove, name="quote-line-remove"),
    path("jobs/<int:number>/quote/send/", quote_out.send, name="quote-send"),
    path("jobs/<int:number>/quote/revise/", quote_out.revise, name="quote-revise"),
    path("jobs/<int:number>/quote/withdraw/", quote_out.withdraw, name="quote-withdraw"),
    path("jobs/<int:number>/quote/answer/", quote_out.answer, name="quote-answer"),
    path("jobs/<int:number>/quote.pdf", quote_out.quote_pdf, name="quote-pdf"),
    path("jobs/<int:number>/link/", status_link.status_link, name="status-link"),
    path("jobs/<int:number>/link/withdraw/", status_link.withdraw, name="status-link-withdraw"),
    path("jobs/<int:number>/reply/", status_link.reply, name="reply"),
]
