from django.urls import path

from shoprepair.bench.views import lot, material, step_material, stock

urlpatterns = [
    path("bench/stock/", stock.stock, name="stock"),
    path("bench/stock/order/", stock.order, name="stock-order"),
    path("bench/stock/materials/<int:pk>/", material.material, name="material-stock"),
    path("bench/stock/materials/<int:pk>/rule/", material.rule, name="stock-rule"),
    path("bench/stock/materials/<int:pk>/receive/", material.receive, name="lot-add"),
    path("bench/stock/lots/<int:pk>/", lot.lot, name="lot"),
    path("bench/stock/lots/<int:pk>/count/", lot.count, name="lot-count"),
    path("bench/stock/lots/<int:pk>/close/", lot.close, name="lot-close"),
    path("bench/jobs/<int:number>/steps/<int:pk>/materials/", step_material.page, name="step-materials"),
    path("bench/jobs/<int:number>/steps/<int:pk>/material/", step_material.take, name="step-material"),
    path(
        "bench/jobs/<int:number>/steps/<int:pk>/material/back/",
        step_material.back,
        name="step-material-back",
    ),
]
