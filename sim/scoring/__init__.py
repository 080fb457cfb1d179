"""Scoring: pure functions from the record of a run and the rubric to a scorecard.

The principle: no strategy that ignores the readings can pass, and no competent trainee can fail,
whatever order they work in.
"""
