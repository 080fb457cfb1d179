"""Scoring: pure functions from the record of a run, the rubric and the measured tables to a card.

The principle: no strategy that ignores the readings can pass, and no competent trainee can fail,
whatever order they work in.
"""
