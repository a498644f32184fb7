"""Backups: all of a shop as it stood at one moment, in a folder that needs nothing else to come back.

A backup is a folder `backup-<day>-<time>` (UTC) with

* the database: `shop.sqlite3`, whole and checked; or `shop.dump` of a PostgreSQL server;
* `files/`, the photos; those that the backup before has too are links to it where the disk can link;
* `journal.seal`, a digest of every entry of the journal (see `sealing`);
* `secret_key`, unless the key comes from the environment;
* `manifest.json`, written last: of every file its bytes and SHA-256, of every table its rows, the version of
  the program and the steps its tables follow.

It is written under a passing name, down to the disk, then given its own: it is never half there.
What a backup holds opens the whole shop: its folder is for the shop's own account alone.
"""
