"""What a shop holds, in open forms: every table as CSV or JSON, and all of it as one archive.

What leaves, and what does not:

* CSV and JSON of one table, for people and other programs: everything but what opens something. Left out are
  password hashes, nonces, hashes of links' tokens and the keys of forms (`tables.SECRET`); in letters and
  journals the addresses of links lose their token. In CSV a text that a spreadsheet would run as a formula
  gets an apostrophe before it; numbers stay numbers.
* The archive, for the shop itself: every table as it is, the photos beside, so that it comes back exactly.
  Nonces and hashes of tokens go along, for without the shop's key they open nothing, and printed cover
  records must go on opening. Password hashes stay behind: whoever finds an archive cannot try them out, and
  whoever makes one up cannot bring a log-in with it. People come back without a password, and the owner
  who brings the archive in chooses their own. Sessions, the key of the shop and what Django fills in
  by itself are not in it.
"""
