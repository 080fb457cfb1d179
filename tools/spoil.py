"""Spoiled files: how `tools/fuzz.py` changes bytes, words and values of a good one."""

import json
import random
import re
from typing import Any

from sim.session.journal import START, chained

WORD = re.compile(rb"[^\s,:{}\[\]\"]+|[,:{}\[\]\"]")
NASTY: tuple[Any, ...] = (
    0, -1, 1, 2, 0.5, -0.0, 1e-9, 5e-324, 1e12, 1e300, -1e300, 2**31, 2**63, 2**64, -(2**63), 10**400,
    float("nan"), float("inf"), True, False, None, "", "x", "stop", "1.0", [], {}, [1, 2], {"a": 1},
    [[]], "a" * 5000, "\x1b[31m", "\u202e", "[bold]", "\ud800", "\x00", "../../etc", "λ",
)  # fmt: skip
JUNK = (
    b"\x00", b"\xff", b"\x1b[2J", b"\n", b"\r\n", b"\t", b"- ", b": ", b"#", b"'", b'"', b"{", b"]",
    b"&a ", b"*a", b"!!int ", b"---\n", b"1e999", b".nan", b"-1", b"0", b"~", b"%", "\u2028".encode(),
    b"[" * 100_000, b'{"a":' * 100_000, b"9" * 5000, b"\xed\xa0\x80", "\U0001f600".encode(),
)  # fmt: skip


def bytes_spoiled(good: bytes, chance: random.Random) -> bytes:
    """Return a file with some of its bytes or words changed, lost, put in twice or elsewhere."""
    data = bytearray(good)
    for _ in range(chance.choice((1, 1, 1, 2, 5))):
        a = chance.randrange(len(data) + 1)
        b = min(len(data), a + chance.choice((1, 1, 4, 30, 400)))
        way = chance.randrange(8)
        if way == 0 and data:
            data[a % len(data)] ^= 1 << chance.randrange(8)
        elif way == 1:
            del data[a:b]
        elif way == 2:
            data[a:a] = data[a:b]
        elif way == 3:
            data[a:a] = chance.choice(JUNK)
        elif way == 4:
            del data[a:]
        elif way == 5:
            lines = bytes(data).splitlines(keepends=True)
            chance.shuffle(lines)
            data = bytearray(b"".join(lines))
        else:
            words = list(WORD.finditer(bytes(data)))
            if words:
                at = chance.choice(words)
                other = str(chance.choice(NASTY)).encode("utf-8", "surrogatepass")
                data[at.start() : at.end()] = chance.choice((other, chance.choice(words)[0]))
    return bytes(data)


def value_spoiled(good: Any, chance: random.Random) -> Any:
    """Return plain data with one value, deep or shallow, changed, lost, added or put in twice."""
    if isinstance(good, dict) and good and chance.random() < 0.9:
        key = chance.choice(sorted(good))
        new = dict(good)
        way = chance.random()
        if way < 0.1:
            del new[key]
        elif way < 0.2:
            new[chance.choice(("x", "", "do", "end", "act", "seed", key + " "))] = chance.choice(
                NASTY
            )
        else:
            new[key] = value_spoiled(good[key], chance)
        return new
    if isinstance(good, list) and good and chance.random() < 0.8:
        at = chance.randrange(len(good))
        way = chance.random()
        if way < 0.15:
            return [*good[:at], *good[at + 1 :]]
        if way < 0.3:
            return [*good[:at], good[at], *good[at:]]
        return [*good[:at], value_spoiled(good[at], chance), *good[at + 1 :]]
    return chance.choice(NASTY)


def json_spoiled(good: bytes, chance: random.Random) -> bytes:
    """Return a JSON file with a value changed."""
    return json.dumps(value_spoiled(json.loads(good), chance)).encode()


def contents_of(journal: bytes) -> list[Any]:
    """Return the entries of a journal without their chain, to be changed."""
    contents: list[Any] = [json.loads(line) for line in journal.splitlines()]
    for content in contents:
        del content["~"]
    return contents


def journal_of(contents: list[Any]) -> str:
    """Return the journal of these entries, its chain right."""
    chain, lines = START, []
    for content in contents:
        if not isinstance(content, dict):
            lines.append(json.dumps(content))
            continue
        line, chain = chained(chain, content)
        lines.append(line)
    return "\n".join(lines) + "\n"


def journal_spoiled(good: bytes, chance: random.Random) -> bytes:
    """Return a journal with wrong contents and a right chain."""
    contents = contents_of(good)
    at = chance.randrange(len(contents))
    way = chance.random()
    if way < 0.7:
        contents[at] = value_spoiled(contents[at], chance)
    elif way < 0.8:
        del contents[at]
    elif way < 0.9:
        contents.insert(at, chance.choice(contents))
    else:
        chance.shuffle(contents)
    text = journal_of(contents)
    return text[: -1 if chance.random() < 0.1 else None].encode()
