"""Makers of the check values under tests/authority that come from a library or a formula."""
