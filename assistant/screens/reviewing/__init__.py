"""Reviewing: the list of sessions, one session opened, replayed, judged again, compared, signed."""
