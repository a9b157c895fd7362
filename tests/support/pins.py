"""PINs that cost nothing to compare; what the program itself asks for is checked in one test."""

import os
from collections.abc import Callable

import pytest

from ticket.machine import pin_hash
from ticket.shop.opening import Shop
from ticket.shop.settings import set_pin

PIN = "482915"


def make_cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """The least that Argon2 can do; a kept PIN says itself how it was made."""
    monkeypatch.setattr(pin_hash, "TIME", 1)
    monkeypatch.setattr(pin_hash, "MEMORY", 8)


def answering(*answers: str) -> Callable[[str], str]:
    """Somebody who types these, one after the other."""
    left = iter(answers)
    return lambda _question: next(left)


def with_pin(shop: Shop, pin: str = PIN) -> str:
    """Give whoever sits at a shop a PIN; the recovery code, where it is the first one."""
    return set_pin(shop, shop.person, pin).code


def descriptor(*lines: str) -> int:
    """A file descriptor that holds some lines."""
    reading, writing = os.pipe()
    os.write(writing, "".join(f"{line}\n" for line in lines).encode())
    os.close(writing)
    return reading
