"""Sharing on the shop's network: one-time codes and the sessions they give.

A code is shown at the bench and typed on a phone once. It lapses after ten minutes, after one use, and after ten wrong
tries by anybody; a device that keeps guessing has to wait. Codes and sessions live in memory only: stopping the bench
ends them all. The way between is plain HTTP: whoever can listen on the network can read along.
"""

from __future__ import annotations

import hashlib
import hmac
import ipaddress
import re
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie

from pitwright.errors import PitwrightError

CODE_DIGITS = 8
CODE_LIFE = 600.0
SESSION_LIFE = 14.0 * 3600.0
WRONG_FOR_A_CODE = 10
TRIES_A_MINUTE = 5
TRIES_A_MINUTE_BY_ALL = 20
DEVICES = 32


class CodeError(PitwrightError):
    """A code that does not let a device in."""


class TooManyTries(CodeError):
    """Codes were tried too often; wait."""


@dataclass(slots=True, kw_only=True)
class Device:
    """A phone or tablet that was let in. Times on the clock given to `Share` [s]."""

    key: str
    name: str
    since: float
    seen: float


@dataclass(slots=True)
class Share:
    """Codes and sessions of one running bench.

    addresses  where a device finds it, such as "192.168.1.20:8321"
    cookie     name of the session cookie
    clock      seconds that never run backwards
    """

    addresses: tuple[str, ...]
    cookie: str = "pitwright"
    clock: Callable[[], float] = time.monotonic
    _code: str = ""
    _made: float = 0.0
    _wrong: int = 0
    _devices: dict[str, Device] = field(default_factory=dict)
    _tries: dict[str, list[float]] = field(default_factory=dict)

    def code(self) -> tuple[str, float]:
        """The code to type now and the seconds it still holds; a new one where the last was used or lapsed."""
        left = self._made + CODE_LIFE - self.clock()
        if not self._code or left <= 0.0:
            return self.new_code()
        return self._code, left

    def new_code(self) -> tuple[str, float]:
        """A fresh code; the one before it is worth nothing any more."""
        self._code = "".join(secrets.choice("0123456789") for _ in range(CODE_DIGITS))
        self._made, self._wrong = self.clock(), 0
        return self._code, CODE_LIFE

    def enter(self, typed: str, name: str, address: str) -> str:
        """Let a device in. Returns the token for its cookie.

        name     what the shop calls the device
        address  where it asks from, to count its tries
        Raises CodeError for a wrong or lapsed code, TooManyTries where it must wait.
        """
        self._count_try(address)
        now = self.clock()
        given = re.sub(r"[\s\-]", "", typed)
        live = bool(self._code) and now < self._made + CODE_LIFE
        right = hmac.compare_digest(given.encode(), self._code.encode()) and live
        if not right:
            self._wrong += 1
            if self._wrong >= WRONG_FOR_A_CODE:
                self._code = ""
            raise CodeError(
                "this is not the code" if live else "the code has lapsed",
                field="code",
                allowed=f"the {CODE_DIGITS} figures shown at the bench",
                remedy="Read it again at the bench; it changes when it was used.",
            )
        self._code = ""
        token = secrets.token_urlsafe(32)
        if len(self._devices) >= DEVICES:
            del self._devices[min(self._devices, key=lambda k: self._devices[k].seen)]
        key = secrets.token_urlsafe(6)
        self._devices[_hidden(token)] = Device(key=key, name=plain_name(name), since=now, seen=now)
        return token

    def device_of(self, cookies: str) -> Device | None:
        """The device behind a cookie header; None where it has no session."""
        try:
            morsel = SimpleCookie(cookies).get(self.cookie)
        except CookieError:
            return None
        device = None if morsel is None else self._devices.get(_hidden(morsel.value))
        if device is None:
            return None
        now = self.clock()
        if now - device.seen > SESSION_LIFE:
            self.revoke(device.key)
            return None
        device.seen = now
        return device

    def holds(self, key: str) -> bool:
        """Whether a device's session still stands."""
        return any(d.key == key for d in self._devices.values())

    def devices(self) -> tuple[Device, ...]:
        """Who was let in, oldest first."""
        return tuple(sorted(self._devices.values(), key=lambda d: d.since))

    def revoke(self, key: str = "") -> int:
        """End the session of one device, or of all. Returns how many ended."""
        gone = [k for k, d in self._devices.items() if not key or d.key == key]
        for k in gone:
            del self._devices[k]
        return len(gone)

    def at_host(self, client: object) -> bool:
        """Whether a request comes from this very machine over its own loop."""
        address = client[0] if isinstance(client, tuple | list) and client else ""
        try:
            return ipaddress.ip_address(address).is_loopback
        except ValueError:
            return False

    def _count_try(self, address: str) -> None:
        now = self.clock()
        self._tries = {a: kept for a, times in self._tries.items() if (kept := [t for t in times if now - t < 60.0])}
        mine = self._tries.setdefault(address, [])
        if len(mine) >= TRIES_A_MINUTE or sum(map(len, self._tries.values())) >= TRIES_A_MINUTE_BY_ALL:
            raise TooManyTries(
                "too many tries", field="code", allowed=f"{TRIES_A_MINUTE} a minute", remedy="Wait a minute."
            )
        mine.append(now)


def plain_name(name: str) -> str:
    """A device's name without control letters, short; "a device" where nothing is left."""
    kept = "".join(c for c in name if c.isprintable()).strip()[:40]
    return kept or "a device"


def _hidden(token: str) -> str:
    """What is kept of a token: enough to know it again, not enough to use it."""
    return hashlib.sha256(token.encode()).hexdigest()
