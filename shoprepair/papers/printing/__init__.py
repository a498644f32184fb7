"""Laying papers out and writing them as PDF, in processes of their own that can take nothing else down.

`bounded` is what the shop calls, with an `Order`: markup and pictures, gathered before. It keeps a process
or two warm (`warm`), which have loaded the fonts; each makes one paper after the other (`pages`), with
bounds on memory and processor time, and answers (`wire`). Only `bounded` is loaded by the shop, and nothing
here knows of Django.
"""
