"""The same sample of a strategy at every run, in every process.

Hypothesis mixes into what it draws the constants of all modules that happen to be loaded: good for finding faults, no
ground for a measure such as a mean grade. Here whole numbers and choices are thrown by a generator of our own.
"""

from collections.abc import Mapping
from random import Random
from typing import Any, TypeVar

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from hypothesis.internal.conjecture.data import ConjectureData
from hypothesis.internal.conjecture.providers import AVAILABLE_PROVIDERS, HypothesisProvider

Kind = TypeVar("Kind")
BACKEND = "steady"
BEGIN = 20_260_323
FAR = 10_000  # how far from its one bound a number without the other may be


class Steady(HypothesisProvider):
    """Throws of one generator that begins anew with each sample; figures with a point and free text are refused."""

    lifetime = "test_function"  # type: ignore[assignment]  # the base class names its own, no choice of two

    def __init__(self, conjecturedata: ConjectureData | None, /) -> None:
        super().__init__(conjecturedata)
        self._dice = Random(BEGIN)

    def draw_boolean(self, p: float = 0.5) -> bool:
        """True as often as asked."""
        return self._dice.random() < p

    def draw_integer(
        self, min_value: int | None = None, max_value: int | None = None, *,
        weights: Mapping[int, float] | None = None, shrink_towards: int = 0,
    ) -> int:  # fmt: skip
        """A number between the bounds, each as likely as the other."""
        if weights:
            return self._dice.choices([*weights], [*weights.values()])[0]
        low = min_value if min_value is not None else (max_value if max_value is not None else shrink_towards) - FAR
        high = max_value if max_value is not None else low + 2 * FAR
        return self._dice.randint(low, high)

    def draw_float(self, **_: Any) -> float:
        """Refused: it would depend on what is loaded."""
        raise TypeError("a steady sample draws no figures with a point: draw whole numbers")

    def draw_string(self, *_: Any, **__: Any) -> str:
        """Refused: it would depend on what is loaded."""
        raise TypeError("a steady sample draws no free text: choose from words")

    def draw_bytes(self, *_: Any, **__: Any) -> bytes:
        """Refused: it would depend on what is loaded."""
        raise TypeError("a steady sample draws no bytes")


def sample(strategy: st.SearchStrategy[Kind], count: int) -> list[Kind]:
    """So many values of a strategy of choices, whole numbers and lists of them; the same whenever it is asked."""
    found: list[Kind] = []
    AVAILABLE_PROVIDERS[BACKEND] = f"{__name__}.{Steady.__name__}"

    @settings(
        max_examples=count, backend=BACKEND, database=None, deadline=None, derandomize=True, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(strategy)
    def collect(value: Kind) -> None:
        found.append(value)

    collect()
    return found
