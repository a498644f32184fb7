"""The lists behind the numbers of the owner's evening."""

from django.urls import path, register_converter

from shoprepair.office.converters import WeekConverter
from shoprepair.office.views.evening import bench, late, money, quotes

register_converter(WeekConverter, "week")

urlpatterns = [
    path("quotes/", quotes.waiting, name="quotes-waiting"),
    path("late/", late.late, name="late-jobs"),
    path("money/<week:week>/", money.week, name="money-week"),
    path("bench/<week:week>/", bench.week, name="bench-week"),
]
