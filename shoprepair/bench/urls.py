from shoprepair.bench import stock_urls

urlpatterns = [*stock_urls.urlpatterns]
