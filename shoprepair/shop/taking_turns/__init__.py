"""The embedded database, whose writers take turns.

SQLite lets one write at a time and has the others look again, the longer they wait the more seldom. Of twenty
who write without a pause some would so miss every moment at which it is free, until their patience ends. Here
everybody who waits looks again after the same few milliseconds: all have the same chance, and the next one
begins as soon as the last one is done.
"""
