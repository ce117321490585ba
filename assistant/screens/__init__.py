"""Screens of a terminal: walking by text, practising, reviewing sessions.

A screen shows what it is handed: the desk gives it sessions, ears and voices. What is shown is
computed by pure functions into frozen records; widgets only draw them.
"""
