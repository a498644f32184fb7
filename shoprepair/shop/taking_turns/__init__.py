"""The embedded database, whose writers take turns.

SQLite lets one write at a time and has the others look again, the longer they wait the more seldom. Of twenty
who write without a pause some would so miss every moment at which it is free, until their patience ends. Here
it is the other way round: the longer somebody has waited, the more often they look, so that they come before
those who have only come, and the next one begins as soon as the last one is done.
"""
