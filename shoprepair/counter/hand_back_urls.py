"""From ready to gone: what is paid, who takes the gear, and the papers that go with it."""

from django.urls import path

from shoprepair.counter.views import hand_back, payments

urlpatterns = [
    path("jobs/<int:number>/hand-back/", hand_back.hand_back, name="hand-back"),
    path("jobs/<int:number>/hand-back/give/", hand_back.give, name="hand-back-give"),
    path("jobs/<int:number>/hand-back/undo/", hand_back.undo, name="hand-back-undo"),
    path("jobs/<int:number>/hand-back.pdf", hand_back.hand_back_pdf, name="hand-back-pdf"),
    path("jobs/<int:number>/payments/", payments.payment, name="payment"),
    path("jobs/<int:number>/payments/refund/", payments.refund, name="refund"),
    path("jobs/<int:number>/invoice/", payments.invoice, name="invoice-make"),
    path("jobs/<int:number>/invoice/credit/", payments.credit, name="invoice-credit"),
    path("jobs/<int:number>/invoice.pdf", payments.invoice_pdf, name="invoice-pdf"),
]
