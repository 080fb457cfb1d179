"""Drills that somebody makes: what they wish, whether it can be, how hard it is, and its file."""
