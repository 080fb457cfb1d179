"""Causes from words: a report in our own vocabulary, what simulated hops show of it, and the posterior."""
