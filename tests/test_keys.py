"""The types of keys are those of the registries."""

from tools.write_keys import FILE, written


def test_the_types_of_keys_are_up_to_date():
    assert FILE.read_text(encoding="utf-8") == written(), "run python tools/write_keys.py"
