"""The counts of clients of several machines, in a Redis that they share.

The script is `climbwright.web.guard.rates.charge` once more, told where the numbers are, so that reading and writing
them is one step. It goes by the clock of Redis, the same for all machines.
"""

import logging
import threading
import time

from redis import Redis, RedisError
from redis.backoff import NoBackoff
from redis.exceptions import ConnectionError as NotConnected
from redis.retry import Retry

from climbwright.web.guard.counts import Counts
from climbwright.web.guard.rates import Rate, Verdict

__all__ = ["SharedCounts"]

log = logging.getLogger(__name__)

_PATIENCE = 0.5  # s
_AWAY = 2.0  # s without asking a Redis that is away
_SAID = 60.0  # s between lines of the log

_SCRIPT = """
local interval, span, cost = tonumber(ARGV[1]), tonumber(ARGV[2]), tonumber(ARGV[3])
local question, ahead = ARGV[4], ARGV[5] == '1'
local clock = redis.call('TIME')
local now = clock[1] * 1000000 + clock[2]
local kept = redis.call('HMGET', KEYS[1], 'due', 'paid')
local due = math.min(math.max(tonumber(kept[1] or 0), now), now + span)
local paid = kept[2] or '0'
if question ~= '0' and question == paid and not ahead then cost, paid = 0, '0' end
local after = due + cost * interval
local wait = after - now - span
if wait > 0 then return {0, math.floor((now + span - due) / interval), due - now, wait} end
if ahead then paid = question end
redis.call('HSET', KEYS[1], 'due', string.format('%.0f', after), 'paid', paid)
redis.call('PEXPIRE', KEYS[1], math.ceil(span / 1000) + 1000)
return {1, math.floor((now + span - after) / interval), after - now, 0}
"""


class SharedCounts:
    """Each client's count by one rate, and this machine's own while Redis is away."""

    def __init__(self, rate: Rate, address: str) -> None:
        self._rate, self._own = rate, Counts(rate)
        # once more where a connection was closed, which is how a Redis that came back is met
        again = Retry(NoBackoff(), 1, supported_errors=(NotConnected,))
        redis = Redis.from_url(address, socket_timeout=_PATIENCE, socket_connect_timeout=_PATIENCE, retry=again)
        self._script = redis.register_script(_SCRIPT)
        self._prefix = f"climbwright:{rate.quota}/{rate.window}:"
        self._away_until = self._silent_until = 0.0  # 0: it is there
        self._trying = threading.Lock()

    def take(self, client: str, cost: int, question: int = 0, ahead: bool = False) -> Verdict:
        """Charge a client, as `climbwright.web.guard.rates.charge` says."""
        if self._worth_asking():
            given = [self._rate.interval, self._rate.span, cost, question, int(ahead)]
            try:
                admitted, left, whole, wait = self._script(keys=[self._prefix + client], args=given)
                self._away_until = 0.0
                return Verdict(bool(admitted), left, whole, wait)
            except RedisError as error:
                self._note(error)
        return self._own.take(client, cost, question, ahead)

    def _worth_asking(self) -> bool:
        """Whether Redis is there; once it was away, one thread asks at a time, and the others need not wait for it."""
        if not self._away_until:
            return True
        with self._trying:
            now = time.monotonic()
            if now < self._away_until:
                return False
            self._away_until = now + _AWAY
            return True

    def _note(self, error: RedisError) -> None:
        now = time.monotonic()
        self._away_until = now + _AWAY
        if now >= self._silent_until:
            self._silent_until = now + _SAID
            # the kind alone: its words may hold what the address does
            log.warning(
                "Redis is away (%s): this machine counts its own clients until it is back", type(error).__name__
            )
