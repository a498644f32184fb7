from shoprepair.bench import hold_urls, stock_urls, work_urls

urlpatterns = [*hold_urls.urlpatterns, *work_urls.urlpatterns, *stock_urls.urlpatterns]
