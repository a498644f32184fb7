"""Decoding what others sent, in a process of its own that can take nothing else down with it.

`bounded` is what the shop calls. It keeps a small process warm (`warm`), which has loaded the decoders and
never sees a picture; for each picture that one forks a child with bounds on memory, processor time and
files, which decodes (`shrinking`), answers (`wire`) and is gone. Nothing but `bounded` knows of Django.
"""
