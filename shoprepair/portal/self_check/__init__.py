"""The self-check: from a few taps on a phone to what may be done about a damage, and to an enquiry."""
