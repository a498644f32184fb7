"""How a day is written: see `settings.FORMAT_MODULE_PATH`."""
