from shoprepair.bench import stock_urls, work_urls

urlpatterns = [*work_urls.urlpatterns, *stock_urls.urlpatterns]
